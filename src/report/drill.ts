import type { Board } from '../board/model.ts';
import type { FaultName } from '../faults/diagnosis.ts';
import type { DerivedJob } from '../job/derive.ts';
import { faultText, partNames } from './names.ts';
import type { Style } from './style.ts';
import { counted, listOf, minutesText } from './words.ts';
import { labelled, wrap } from './wrap.ts';

/** How a drill went, in names: what is shown, and what `--json` prints. */
export interface DrillView {
  readonly hidden: readonly string[];
  /** Those of them whose part was never replaced. */
  readonly missed: readonly string[];
  /** True when the tool had nothing left to ask for. */
  readonly clear: boolean;
  readonly readings: number;
  readonly lifts: number;
  readonly replaced: readonly string[];
  /** Parts without a hidden fault that came off the board or were replaced… */
  readonly healthyPulled: readonly string[];
  /** …but for those of a bank in which another had failed: a bank is renewed as a set. */
  readonly bankMates: readonly string[];
  /** Bench minutes by the table of step costs. */
  readonly minutes: number;
}

/** Sums a drill up: what was hidden, what was found, and what it cost. */
export function viewDrill(
  board: Board,
  hidden: readonly FaultName[],
  derived: DerivedJob,
  result: { readonly clear: boolean; readonly minutes: number },
): DrillView {
  const replaced = new Set(derived.replaced.map(({ part }) => part));
  const missed = hidden.filter(({ parts }) => !parts.every((part) => replaced.has(part)));
  const failed = new Set(hidden.flatMap(({ parts }) => parts));
  const pulled = new Set<number>();
  let lifts = 0;
  for (const { say } of derived.active) {
    if (say.do === 'lift') lifts += 1;
    if (say.do === 'remove' || say.do === 'replace') for (const part of say.parts) pulled.add(part);
  }
  const healthy = [...pulled].filter((part) => !failed.has(part));
  const failedBanks = new Set([...failed].flatMap((part) => board.parts[part]?.bank ?? []));
  const isMate = (part: number): boolean => failedBanks.has(board.parts[part]?.bank ?? '');
  return {
    hidden: hidden.map((fault) => faultText(board, fault)),
    missed: missed.map((fault) => faultText(board, fault)),
    clear: result.clear,
    readings: derived.evidence.readings.length,
    lifts,
    replaced: partNames(board, [...replaced]),
    healthyPulled: partNames(
      board,
      healthy.filter((part) => !isMate(part)),
    ),
    bankMates: partNames(board, healthy.filter(isMate)),
    minutes: result.minutes,
  };
}

/** How a drill went, as lines of text. */
export function drillLines(view: DrillView, style: Style): string[] {
  const counts = [
    counted(view.readings, 'reading'),
    counted(view.lifts, 'lift'),
    minutesText(view.minutes),
  ];
  const end = view.clear ? 'Every rail and every new part was read clear.' : 'Ended early.';
  const row = (label: string, text: string): string[] => labelled(label, text, 10, style.width);
  return [
    ...wrap(end, style.width).map(view.clear ? style.palette.good : style.palette.warn),
    ...row('Hidden', view.hidden.length === 0 ? 'nothing' : view.hidden.join('; ')),
    ...(view.missed.length === 0 ? [] : row('Missed', view.missed.join('; '))),
    ...row('Replaced', view.replaced.length === 0 ? 'nothing' : listOf(view.replaced, 20)),
    ...row('Took', listOf(counts)),
    ...row('Healthy', healthyText(view)),
  ];
}

function healthyText({ healthyPulled, bankMates }: DrillView): string {
  const pulled =
    healthyPulled.length === 0
      ? 'no healthy part was pulled'
      : `pulled without need: ${listOf(healthyPulled, 12)}`;
  return bankMates.length === 0
    ? pulled
    : `${pulled}; renewed with their bank: ${listOf(bankMates, 12)}`;
}
