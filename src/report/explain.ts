import type { Board } from '../board/model.ts';
import { formatOhms } from '../board/units.ts';
import type { Evidence } from '../faults/evidence.ts';
import { printReading } from '../job/print-say.ts';
import type { Breaker, PairExplanation, WayLink } from '../steps/explain-pair.ts';
import type { PartExplanation } from '../steps/explain-part.ts';
import type { Instead } from '../steps/instead.ts';
import { setRows, weightLabel } from './diagnosis.ts';
import { type FaultSetView, readingText, viewSet } from './diagnosis-view.ts';
import { faultText, netName, partName, partNames, pinName } from './names.ts';
import { viewStep } from './step-view.ts';
import type { Style } from './style.ts';
import { listOf, percent, runsOf } from './words.ts';
import { labelled, wrap } from './wrap.ts';

/** Why two nets conduct, in names: what is shown, and what `--json` prints. */
export interface PairView {
  readonly nets: readonly string[];
  /** Absent when nothing joins them on a healthy board. */
  readonly healthyOhms?: number;
  /** What a good board of the same kind read there: `P5 GND 180 ohm`. */
  readonly goodBoard?: readonly string[];
  readonly conducts: number;
  readonly ways: readonly {
    readonly weight: number;
    readonly ohms: number;
    readonly links: readonly WayLinkView[];
  }[];
  readonly breakers: readonly {
    readonly text: string;
    readonly parts: readonly string[];
    readonly pin?: string;
    readonly share: number;
  }[];
  readonly instead?: InsteadView;
}

/** What a step of one's own choice would cost as the next one. */
export interface InsteadView {
  /** The step in one sentence: `Lift one leg of C1, then probe P48 to GND (beeper).` */
  readonly text: string;
  readonly minutes: number;
  /** Minutes until the culprit is found: with this step first, and with the best one. */
  readonly whole: number;
  readonly best: number;
}

export interface WayLinkView {
  /** `W2`, `one of Q1–Q3 D-S short`. */
  readonly text: string;
  readonly what: WayLink['what'];
  readonly parts: readonly string[];
  readonly mode?: string;
  readonly from: string;
  readonly to: string;
  readonly ohms: number;
  readonly weight: number;
}

/** What accuses and what clears a part, in names. */
export interface PartView {
  readonly part: string;
  readonly kind: string;
  readonly weight: number;
  readonly modes: PartExplanation['modes'];
  readonly alike: readonly string[];
  readonly accusedBy: readonly ReadingView[];
  readonly clearedBy: readonly ReadingView[];
  readonly sets: readonly FaultSetView[];
  readonly instead?: InsteadView;
}

export interface ReadingView {
  readonly id: number;
  readonly text: string;
}

/** Puts names in place of the board numbers of what joins two nets. */
export function viewPair(board: Board, pair: PairExplanation, instead?: Instead): PairView {
  const { healthyOhms, goodBoard } = pair;
  return {
    nets: pair.nets.map((net) => netName(board, net)),
    ...(Number.isFinite(healthyOhms) ? { healthyOhms } : {}),
    ...(goodBoard.length === 0
      ? {}
      : { goodBoard: goodBoard.map((reading) => printReading(board, reading)) }),
    conducts: pair.conducts,
    ways: pair.ways.map(({ weight, ohms, links }) => ({
      weight,
      ohms,
      links: links.map((link) => viewLink(board, link)),
    })),
    breakers: pair.breakers.map((breaker) => viewBreaker(board, breaker)),
    ...viewInstead(board, instead),
  };
}

/** Puts names in place of the board numbers of what accuses and clears a part. */
export function viewPart(
  board: Board,
  evidence: Evidence,
  found: PartExplanation,
  instead?: Instead,
): PartView {
  const reading = (id: number): ReadingView => ({ id, text: readingText(board, evidence, id) });
  return {
    part: partName(board, found.part),
    kind: board.parts[found.part]?.kind.title ?? '',
    weight: found.weight,
    modes: found.modes,
    alike: partNames(board, found.alike),
    accusedBy: found.accusedBy.map(reading),
    clearedBy: found.clearedBy.map(reading),
    sets: found.sets.map((set) => viewSet(board, set)),
    ...viewInstead(board, instead),
  };
}

function viewInstead(board: Board, instead: Instead | undefined): { instead?: InsteadView } {
  if (instead === undefined) return {};
  const { step, minutes, whole, best } = instead;
  return { instead: { text: viewStep(board, step).text, minutes, whole, best } };
}

const INDENT = 12;

/** The ways that conduct, part by part, and what would break them. */
export function pairLines(view: PairView, style: Style, most = 6): string[] {
  const [a, b] = view.nets;
  const healthy =
    view.healthyOhms === undefined
      ? 'apart'
      : `joined by ${formatOhms(view.healthyOhms)} (without leads)`;
  const head = `${a} and ${b}: on a healthy board ${healthy}; now they conduct with ${percent(view.conducts)}.`;
  const lines = wrap(head, style.width).map(style.palette.strong);
  const good = view.goodBoard ?? [];
  if (good.length > 0) lines.push(...wrap(`A good board reads ${listOf(good)}.`, style.width));
  for (const way of view.ways.slice(0, most)) {
    const chain = way.links.map(({ text, to }) => `— ${text} — ${to}`).join(' ');
    const text = `${a} ${chain}  (${formatOhms(way.ohms)})`;
    lines.push(...labelled(weightLabel(way.weight), text, INDENT, style.width));
  }
  if (view.ways.length > most) lines.push(`  and ${view.ways.length - most} lighter ways`);
  return [...lines, ...breakerLines(view, style), ...insteadLines(view, style)];
}

/** What accuses the part, what clears it, and the fault sets that hold it. */
export function partLines(view: PartView, style: Style): string[] {
  const { width, palette } = style;
  const modes = view.modes.slice(0, 4).map(({ mode, weight }) => `${mode} ${percent(weight)}`);
  const detail = modes.length === 0 ? '' : `: ${modes.join(', ')}`;
  const head = `${view.part}, ${view.kind}: failed with ${percent(view.weight)}${detail}.`;
  return [
    ...wrap(head, width).map(palette.strong),
    ...alikeLines(view, style),
    ...readingLines('Accused by', view.accusedBy, style),
    ...readingLines('Cleared by', view.clearedBy, style),
    ...(view.sets.length === 0 ? [] : ['In these explanations:', ...setRows(view.sets, style)]),
    ...insteadLines(view, style),
  ];
}

function insteadLines({ instead }: { readonly instead?: InsteadView }, { width }: Style): string[] {
  if (instead === undefined) return [];
  const { text, minutes, whole, best } = instead;
  const more = whole - best;
  const beside =
    more < 0.05 ? 'as soon as any step' : `${more.toFixed(1)} min later than the best step`;
  const full = `${text} That takes ${minutes.toFixed(1)} min and would lead to the culprit in about ${whole.toFixed(1)} min, ${beside}.`;
  return labelled('As next', full, INDENT, width);
}

function alikeLines(view: PartView, style: Style): string[] {
  const others = view.alike.filter((name) => name !== view.part);
  if (others.length === 0) return [];
  return labelled('Alike', `nothing tells it from ${runsOf(others, 12)} yet`, INDENT, style.width);
}

function readingLines(label: string, readings: readonly ReadingView[], style: Style): string[] {
  if (readings.length === 0) return labelled(label, 'no reading', INDENT, style.width);
  return readings.flatMap(({ id, text }, index) =>
    labelled(index === 0 ? label : '', `${id}  ${text}`, INDENT, style.width),
  );
}

function breakerLines(view: PairView, style: Style): string[] {
  if (view.breakers.length === 0) return [];
  const rows = view.breakers.slice(0, 5).flatMap(({ text, share }) => {
    return labelled(weightLabel(share), text, INDENT, style.width);
  });
  return ['It would end, if it conducts, by:', ...rows];
}

function viewLink(board: Board, link: WayLink): WayLinkView {
  const { what, parts, mode, from, to, ohms, weight } = link;
  return {
    text: linkText(board, link),
    what,
    parts: partNames(board, parts),
    ...(mode === undefined ? {} : { mode }),
    from: netName(board, from),
    to: netName(board, to),
    ohms,
    weight,
  };
}

function linkText(board: Board, link: WayLink): string {
  const { what, parts, mode = '', from, to } = link;
  if (what === 'healthy') return partNames(board, parts).join(', ');
  if (what === 'listed link') return 'a link you named';
  return faultText(board, { what, parts, mode, nets: [from, to] });
}

function viewBreaker(board: Board, breaker: Breaker): PairView['breakers'][number] {
  const parts = partNames(board, breaker.parts);
  const { pin, share } = breaker;
  if (pin === undefined) return { text: `taking off ${runsOf(parts, 12)}`, parts, share };
  const name = pinName(board, pin);
  return { text: `lifting ${name}`, parts, pin: name, share };
}
