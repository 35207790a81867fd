/** What the commands say of an injected current. */
import { InputError } from '../board/diagnostic.ts';
import type { Board, Rail } from '../board/model.ts';
import { nearest } from '../board/nearest.ts';
import type { InjectionLimits } from '../circuit/injection-limits.ts';
import type { Injection, Reading } from '../circuit/reading.ts';
import type { DerivedJob } from '../job/derive.ts';
import { injectionAdvice, injectionDoubts } from '../job/injection/advice.ts';
import { listed } from '../job/points.ts';
import {
  doubtLines,
  doubtText,
  type InjectionView,
  injectionCautionLines,
  overVoltText,
  viewInjection,
} from '../report/injection.ts';
import type { Style } from '../report/style.ts';
import { shopOf, workbenchFor } from './engine.ts';

/**
 * Advice for a rail, named as in the board file or by one of its nets.
 * @throws {InputError} when the board has no such rail
 */
export function railInjection(board: Board, name: string): InjectionView {
  const { plus, minus } = railNamed(board, name);
  const { circuit } = workbenchFor(board).bench;
  return viewInjection(board, injectionAdvice(circuit, plus, minus, new Set(), limitsOf(board)));
}

function railNamed(board: Board, name: string): Rail {
  const plain = (text: string): string => text.trim().toLowerCase();
  const { rails } = board;
  const netOf = (rail: Rail): string => board.nets[rail.plus]?.name ?? '';
  const found =
    rails.find((rail) => rail.name === name) ??
    rails.find((rail) => plain(rail.name) === plain(name)) ??
    rails.find((rail) => plain(netOf(rail)) === plain(name));
  if (found !== undefined) return found;
  const names = rails.map((rail) => rail.name);
  const meant = nearest(name, [...names, ...rails.map(netOf)]);
  const known = names.length === 0 ? 'the board file names no rail' : `rails are ${listed(names)}`;
  const hint = meant === undefined ? known : `did you mean "${meant}"?`;
  const message = `no rail is called "${name}"`;
  throw new InputError([{ code: 'UNKNOWN_RAIL', severity: 'error', message, hint }]);
}

/** What to mind about a current just recorded. */
export interface InjectionCaution {
  /** What is amiss with it, in sentences. */
  readonly doubts: readonly string[];
  lines(style: Style): string[];
}

/**
 * What to mind of a current that the last `count` events began, and of volts read under it that no
 * injection within its limit makes; undefined when there is neither.
 */
export function injectionNews(
  board: Board,
  { active, evidence: { injection } }: DerivedJob,
  count: number,
): InjectionCaution | undefined {
  const last = count > 0 ? active.slice(-count) : [];
  const isBegun = injection !== undefined && last.some(({ say }) => say.do === 'inject');
  const begun = isBegun ? injectionCaution(board, injection) : undefined;
  const high = last.flatMap(({ say }) => (say.do === 'read' ? overVolted(board, say.reading) : []));
  if (begun === undefined && high.length === 0) return undefined;
  return {
    doubts: [...(begun?.doubts ?? []), ...high],
    lines: (style) => [...(begun?.lines(style) ?? []), ...doubtLines(high, style)],
  };
}

function overVolted(board: Board, { mode, red, black, value }: Reading): string[] {
  const most = limitsOf(board).volts;
  const isHigh = mode === 'millivolts' && value.kind === 'volts' && Math.abs(value.volts) > most;
  return isHigh ? [overVoltText(board, red, black, most)] : [];
}

/** What the shop sets its supply to at most. */
function limitsOf(board: Board): InjectionLimits {
  const { mostVolts, mostAmps } = shopOf(board).thresholds.injection;
  return { volts: mostVolts, amps: mostAmps };
}

function injectionCaution(board: Board, injection: Injection): InjectionCaution {
  const { circuit } = workbenchFor(board).bench;
  const { red, black } = upright(board, injection);
  const advice = injectionAdvice(circuit, red, black, new Set(), limitsOf(board));
  const doubts = injectionDoubts(circuit, injection, advice);
  const view = viewInjection(board, advice);
  return {
    doubts: doubts.map((doubt) => doubtText(view, doubt)),
    lines: (style) => injectionCautionLines(view, doubts, style),
  };
}

/** Plus on the rail's plus, whichever way round it was clipped. */
function upright({ rails }: Board, { red, black }: Injection): { red: number; black: number } {
  const isTurned =
    rails.some(({ plus, minus }) => plus === black.net && minus === red.net) &&
    !rails.some(({ plus, minus }) => plus === red.net && minus === black.net);
  return isTurned ? { red: black.net, black: red.net } : { red: red.net, black: black.net };
}
