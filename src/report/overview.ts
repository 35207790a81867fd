import type { Board, BoardCopper, NetCopper } from '../board/model.ts';
import { overview } from '../board/overview.ts';
import { harmless } from '../board/shown-text.ts';
import { formatFarads } from '../board/units.ts';
import { netName, partNames } from './names.ts';
import { type PositionsView, railPositions } from './positions.ts';
import type { Style } from './style.ts';
import { counted, listOf } from './words.ts';
import { GLUE, labelled, wrap } from './wrap.ts';

/** A board summed up, in names: what is shown, and what `--json` prints. */
export interface OverviewView {
  readonly name: string;
  readonly revision?: string;
  readonly counts: ReturnType<typeof overview>['counts'];
  readonly rails: readonly {
    readonly name: string;
    readonly plus: string;
    readonly minus: string;
    readonly volts?: number;
    readonly capacitors: readonly string[];
    readonly farads: number;
  }[];
  readonly banks: readonly { readonly name: string; readonly parts: readonly string[] }[];
  readonly parallel: readonly { readonly kind: string; readonly parts: readonly string[] }[];
  readonly islands: readonly { readonly nets: number; readonly biggest: readonly string[] }[];
  readonly heatsinks: readonly { readonly name: string; readonly parts: readonly string[] }[];
  /** What the board file says of its copper: weights in oz/ft², widths in mm. */
  readonly copper?: CopperView;
  /** Rails where positions would tell parts apart, and some are missing. */
  readonly positions: readonly PositionsView[];
  readonly guesses: readonly { readonly part: string; readonly guesses: readonly string[] }[];
}

interface CopperView {
  readonly ounces?: number;
  readonly nets: readonly ({ readonly net: string } & NetCopper)[];
}

/** Sums a board file up, in names. */
export function viewOverview(board: Board): OverviewView {
  const seen = overview(board);
  const group = ({ name, parts }: { name: string; parts: readonly number[] }) => ({
    name: harmless(name),
    parts: partNames(board, parts),
  });
  return {
    name: harmless(seen.name),
    ...(seen.revision === undefined ? {} : { revision: harmless(seen.revision) }),
    counts: seen.counts,
    rails: seen.rails.map(({ rail, capacitors, farads }) => ({
      name: harmless(rail.name),
      plus: netName(board, rail.plus),
      minus: netName(board, rail.minus),
      ...(rail.volts === undefined ? {} : { volts: rail.volts }),
      capacitors: partNames(board, capacitors),
      farads,
    })),
    banks: seen.banks.map(group),
    parallel: seen.parallel.map(({ kind, parts }) => ({ kind, parts: partNames(board, parts) })),
    islands: seen.islands.map(({ nets, biggest }) => ({
      nets: nets.length,
      biggest: biggest.map((net) => netName(board, net)),
    })),
    heatsinks: seen.heatsinks.map(group),
    ...(board.copper === undefined ? {} : { copper: viewCopper(board, board.copper) }),
    positions: railPositions(board),
    guesses: seen.guesses.map(({ part, guesses }) => ({
      part: partNames(board, [part]).join(),
      guesses: guesses.map(harmless),
    })),
  };
}

function viewCopper(board: Board, { ounces, nets }: BoardCopper): CopperView {
  const named = [...nets].map(([net, copper]) => ({ net: netName(board, net), ...copper }));
  return { ...(ounces === undefined ? {} : { ounces }), nets: named };
}

const INDENT = 12;

/** The sum of a board file as lines of text. */
export function overviewLines(view: OverviewView, style: Style): string[] {
  const { counts } = view;
  const revision = view.revision === undefined ? '' : `, revision ${view.revision}`;
  const sizes = [
    counted(counts.parts, 'part'),
    counted(counts.pins, 'pin'),
    counted(counts.nets, 'net'),
    counted(counts.jumpers, 'jumper'),
  ];
  const kinds = counts.kinds.map(({ kind, count }) => `${count}${GLUE}${kind}`);
  const row = (label: string, text: string): string[] => labelled(label, text, INDENT, style.width);
  return [
    ...wrap(view.name + revision, style.width).map(style.palette.strong),
    ...row('Size', listOf(sizes)),
    ...row('Kinds', listOf(kinds, 40)),
    ...view.rails.flatMap((rail) => row('Rail', railText(rail))),
    ...view.banks.flatMap(({ name, parts }) => row('Bank', `${name}: ${listOf(parts, 16)}`)),
    ...view.parallel
      .slice(0, 12)
      .flatMap(({ kind, parts }) => row('Parallel', `${kind}: ${listOf(parts, 10)}`)),
    ...more(view.parallel.length - 12, 'parallel groups'),
    ...view.heatsinks.flatMap(({ name, parts }) =>
      row('Heatsink', `${name}: ${listOf(parts, 16)}`),
    ),
    ...copperTexts(view).flatMap((text) => row('Copper', text)),
    ...view.positions.flatMap(({ rail, text }) => row('Places', `${rail}: ${text}`)),
    ...islandLines(view, style),
    ...guessLines(view, style),
  ];
}

function railText(rail: OverviewView['rails'][number]): string {
  const volts = rail.volts === undefined ? '' : `, ${rail.volts} V`;
  const count = rail.capacitors.length;
  const held =
    count === 0 ? 'no capacitor' : `${counted(count, 'capacitor')}, ${formatFarads(rail.farads)}`;
  return `${rail.name}: ${rail.plus} against ${rail.minus}${volts}; ${held}`;
}

/** The board's weight first, then the nets that share one description together. */
function copperTexts({ copper }: OverviewView): string[] {
  if (copper === undefined) return [];
  const alike = new Map<string, string[]>();
  for (const { net, ...facts } of copper.nets) {
    const text = copperText(facts);
    if (text !== '') alike.set(text, [...(alike.get(text) ?? []), net]);
  }
  return [
    ...(copper.ounces === undefined ? [] : [ouncesText(copper.ounces)]),
    ...[...alike].map(([text, nets]) => `${listOf(nets)}: ${text}`),
  ];
}

function copperText({ shape, width, ounces }: NetCopper): string {
  const words = [
    ...(shape === undefined ? [] : [shape]),
    ...(width === undefined ? [] : [`${Number(width.toPrecision(3))}${GLUE}mm wide`]),
    ...(ounces === undefined ? [] : [ouncesText(ounces)]),
  ];
  return words.join(', ');
}

function ouncesText(ounces: number): string {
  return `${Number(ounces.toPrecision(3))}${GLUE}oz`;
}

/** Islands of one net carry no path to tell apart; they are counted only. */
function islandLines(view: OverviewView, style: Style): string[] {
  const real = view.islands.filter(({ nets }) => nets > 1);
  const lone = view.islands.length - real.length;
  const lines = real.slice(0, 12).flatMap(({ nets, biggest }, index) => {
    const text = `${counted(nets, 'net')}: ${listOf(biggest)}${nets > biggest.length ? ', …' : ''}`;
    return labelled(`Island ${index + 1}`, text, INDENT, style.width);
  });
  const rest =
    lone > 0
      ? labelled('', `and ${counted(lone, 'net')} apart from all others`, INDENT, style.width)
      : [];
  const note = 'Islands: nets joined by parts a meter sees through on a healthy board.';
  return [
    ...lines,
    ...more(real.length - 12, 'islands'),
    ...rest,
    ...wrap(note, style.width).map(style.palette.quiet),
  ];
}

function guessLines(view: OverviewView, style: Style): string[] {
  if (view.guesses.length === 0) return [];
  const shown = view.guesses.slice(0, 20);
  return [
    `Guessed, to be confirmed (${counted(view.guesses.length, 'part')}):`,
    ...shown.flatMap(({ part, guesses }) =>
      labelled(`  ${part}`, guesses.join('; '), INDENT, style.width),
    ),
    ...more(view.guesses.length - shown.length, 'parts'),
  ];
}

function more(count: number, what: string): string[] {
  return count > 0 ? [`${' '.repeat(INDENT)}and ${count} more ${what}`] : [];
}
