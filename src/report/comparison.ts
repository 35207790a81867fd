import { harmless } from '../board/shown-text.ts';
import type { ComparedPair, Comparison, PairChange } from '../job/compare.ts';
import { PAIR_CHANGES } from '../job/compare.ts';
import type { SavedReading } from '../job/saved-reading.ts';
import { printValue } from '../job/value.ts';
import type { Style } from './style.ts';
import { counted } from './words.ts';
import { labelled, wrap } from './wrap.ts';

/** Two sets of readings side by side: what is shown, and what `--json` prints. */
export interface ComparisonView {
  readonly differs: boolean;
  readonly worst?: PairChange;
  readonly counts: Readonly<Record<PairChange, number>>;
  readonly pairs: readonly PairView[];
  readonly contradictory: readonly ContradictionView[];
  /** Readings in millivolts along copper, which are compared with nothing. */
  readonly alongCopper?: number;
}

export interface PairView {
  readonly red: string;
  readonly black: string;
  readonly off?: string;
  readonly change: PairChange;
  /** True when a healthy board conducts here. */
  readonly expected: boolean;
  readonly before?: string;
  readonly after?: string;
}

export interface ContradictionView {
  readonly side: 'before' | 'after';
  readonly readings: readonly {
    readonly file: string;
    readonly line: number;
    readonly value: string;
  }[];
  readonly red: string;
  readonly black: string;
}

/** A comparison of two sets of readings, in names. */
export function viewComparison(comparison: Comparison): ComparisonView {
  const { pairs, contradictory, worst, differs, alongCopper } = comparison;
  const count = (change: PairChange): number =>
    pairs.filter((pair) => pair.change === change).length;
  const counts = Object.fromEntries(PAIR_CHANGES.map((change) => [change, count(change)]));
  return {
    differs,
    ...(worst === undefined ? {} : { worst }),
    counts: counts as Record<PairChange, number>,
    ...(alongCopper === undefined ? {} : { alongCopper }),
    pairs: pairs.map(viewPair),
    contradictory: contradictory.map(({ side, readings }) => ({
      side,
      red: harmless(readings[0]?.red ?? ''),
      black: harmless(readings[0]?.black ?? ''),
      readings: readings.map(({ file, line, ...meter }) => ({
        file,
        line,
        value: printValue(meter),
      })),
    })),
  };
}

/** Worst first; pairs that did not change are only counted. */
export function comparisonLines(view: ComparisonView, style: Style): string[] {
  const found = PAIR_CHANGES.filter((change) => view.counts[change] > 0);
  const summary = found.map((change) => `${view.counts[change]} ${change}`).join(', ');
  const total = counted(view.pairs.length, 'pair');
  const head = wrap(
    summary === '' ? 'No readings to compare' : `${total}: ${summary}`,
    style.width,
  );
  const rows = PAIR_CHANGES.filter((change) => change !== 'unchanged').flatMap((change) =>
    view.pairs
      .filter((pair) => pair.change === change)
      .flatMap((pair) => pairRow(pair, style).map(markOf(change, style))),
  );
  return [...head, ...rows, ...contradictionLines(view, style), ...copperLines(view, style)];
}

function copperLines({ alongCopper = 0 }: ComparisonView, { width, palette }: Style): string[] {
  if (alongCopper === 0) return [];
  const text = `Not compared: ${counted(alongCopper, 'reading')} in millivolts along copper, which tell where a short is and not whether there is one.`;
  return wrap(text, width).map(palette.quiet);
}

function pairRow(pair: PairView, style: Style): string[] {
  const off = pair.off === undefined ? '' : `off ${pair.off}: `;
  const values = `${pair.before ?? 'not read'} → ${pair.after ?? 'not read'}`;
  const note = pair.expected ? ' (a healthy board conducts here)' : '';
  return labelled(
    pair.change,
    `${off}${pair.red} ${pair.black}: ${values}${note}`,
    15,
    style.width,
  );
}

function markOf(change: PairChange, { palette }: Style): (text: string) => string {
  if (change === 'newly short' || change === 'still short') return palette.bad;
  if (change === 'cleared') return palette.good;
  return change === 'changed' ? palette.strong : palette.warn;
}

function contradictionLines(view: ComparisonView, style: Style): string[] {
  return view.contradictory.flatMap(({ side, red, black, readings }) => {
    const values = readings.map(({ file, line, value }) => `${value} (${harmless(file)}:${line})`);
    const text = `${red} ${black} ${side}: ${values.join(' and ')} contradict each other; read it again`;
    return wrap(text, style.width).map(style.palette.warn);
  });
}

function viewPair(pair: ComparedPair): PairView {
  const value = (reading: SavedReading | undefined): string | undefined =>
    reading === undefined ? undefined : printValue(reading);
  const [before, after] = [value(pair.before), value(pair.after)];
  return {
    red: harmless(pair.red),
    black: harmless(pair.black),
    ...(pair.off === undefined ? {} : { off: harmless(pair.off) }),
    change: pair.change,
    expected: pair.expected,
    ...(before === undefined ? {} : { before }),
    ...(after === undefined ? {} : { after }),
  };
}
