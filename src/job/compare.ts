/** Two sets of readings side by side: before and after a swap, or a good board against a bad one. */
import { isCopperOnly, type Probe } from '../circuit/reading.ts';
import { agrees, conducts, type Tolerance, USUAL_TOLERANCE } from './compare-values.ts';
import type { SavedReading } from './saved-reading.ts';

export type { Tolerance } from './compare-values.ts';

/** What became of a pair of points, worst first. */
export const PAIR_CHANGES = [
  'newly short',
  'still short',
  'missing after',
  'missing before',
  'changed',
  'cleared',
  'unchanged',
] as const;
export type PairChange = (typeof PAIR_CHANGES)[number];

export interface ComparedPair {
  readonly red: string;
  readonly black: string;
  readonly off?: string;
  /** Beeper and ohms readings of a pair are one matter, diode readings of a direction another. */
  readonly family: 'resistance' | 'diode';
  readonly change: PairChange;
  /** True when a healthy board conducts here, so that conducting is no short. */
  readonly expected: boolean;
  readonly before?: SavedReading;
  readonly after?: SavedReading;
}

/** Readings of one pair on one side that cannot all be right: the board was not changed between. */
export interface Contradiction {
  readonly side: 'before' | 'after';
  readonly readings: readonly SavedReading[];
}

export interface Comparison {
  /** In the order of the readings before, then those only after. */
  readonly pairs: readonly ComparedPair[];
  readonly contradictory: readonly Contradiction[];
  /** Undefined when there was nothing to compare. */
  readonly worst: PairChange | undefined;
  /** True when anything is still short, newly short or missing on one side. */
  readonly differs: boolean;
  /** Readings in millivolts along copper, which are compared with nothing; absent when there are none. */
  readonly alongCopper?: number;
}

export interface CompareOptions {
  /** Limits to change; the rest is {@link USUAL_TOLERANCE}. */
  readonly tolerance?: Partial<Tolerance>;
  /** Whether a healthy board beeps there: a winding, a sense resistor. */
  expectedBeep?(probe: Probe): boolean;
  /**
   * Before are readings of a good board: what conducts there is no short, what reads otherwise now is a
   * difference, and what was read on one board alone is none.
   */
  readonly isOfGood?: boolean;
}

const OFF_THE_GOOD: readonly PairChange[] = ['newly short', 'changed'];

const DIFFERENT: readonly PairChange[] = [
  'newly short',
  'still short',
  'missing after',
  'missing before',
];

/** Compares pair by pair; of repeated readings the last counts. Millivolts along copper tell no short. */
export function compareReadings(
  before: readonly SavedReading[],
  after: readonly SavedReading[],
  options: CompareOptions = {},
): Comparison {
  const tolerance = { ...USUAL_TOLERANCE, ...options.tolerance };
  const [old, fresh] = [byPair(before), byPair(after)];
  const keys = new Set([...old.keys(), ...fresh.keys()]);
  const pairs = [...keys].flatMap((key) =>
    comparePair(old.get(key)?.at(-1), fresh.get(key)?.at(-1), { tolerance, options }),
  );
  const alongCopper = [...before, ...after].filter(isCopperOnly).length;
  const worst = PAIR_CHANGES.find((change) => pairs.some((pair) => pair.change === change));
  return {
    pairs,
    contradictory: [
      ...contradictions('before', old, tolerance),
      ...contradictions('after', fresh, tolerance),
    ],
    worst,
    differs: pairs.some((pair) =>
      (options.isOfGood === true ? OFF_THE_GOOD : DIFFERENT).includes(pair.change),
    ),
    ...(alongCopper === 0 ? {} : { alongCopper }),
  };
}

type Pairs = ReadonlyMap<string, readonly SavedReading[]>;

function byPair(readings: readonly SavedReading[]): Pairs {
  const pairs = new Map<string, SavedReading[]>();
  for (const reading of readings) {
    if (isCopperOnly(reading)) continue;
    const key = pairKey(reading);
    const known = pairs.get(key);
    if (known === undefined) pairs.set(key, [reading]);
    else known.push(reading);
  }
  return pairs;
}

/** A resistance is the same both ways round, a junction is not. */
function pairKey({ mode, red, black, off = '' }: SavedReading): string {
  const points = mode === 'diode' || red < black ? [red, black] : [black, red];
  // Names hold no blanks.
  return [mode === 'diode' ? 'diode' : 'resistance', off, ...points].join(' ');
}

function comparePair(
  before: SavedReading | undefined,
  after: SavedReading | undefined,
  by: { tolerance: Tolerance; options: CompareOptions },
): ComparedPair[] {
  const shown = before ?? after;
  if (shown === undefined) return [];
  const conductsGood =
    by.options.isOfGood === true && before !== undefined && conducts(before, by.tolerance);
  const expected = conductsGood || isExpected(before, by.options) || isExpected(after, by.options);
  return [
    {
      red: shown.red,
      black: shown.black,
      ...(shown.off === undefined ? {} : { off: shown.off }),
      family: shown.mode === 'diode' ? 'diode' : 'resistance',
      change: changeOf(before, after, { tolerance: by.tolerance, expected }),
      expected,
      ...(before === undefined ? {} : { before }),
      ...(after === undefined ? {} : { after }),
    },
  ];
}

function isExpected(reading: SavedReading | undefined, options: CompareOptions): boolean {
  if (reading?.reading === undefined) return false;
  return options.expectedBeep?.(reading.reading) ?? false;
}

function changeOf(
  before: SavedReading | undefined,
  after: SavedReading | undefined,
  by: { tolerance: Tolerance; expected: boolean },
): PairChange {
  const isShort = (reading: SavedReading): boolean =>
    !by.expected && conducts(reading, by.tolerance);
  if (before === undefined)
    return after !== undefined && isShort(after) ? 'newly short' : 'missing before';
  if (after === undefined) return 'missing after';
  if (isShort(before)) return isShort(after) ? 'still short' : 'cleared';
  if (isShort(after)) return 'newly short';
  return agrees(before, after, by.tolerance) ? 'unchanged' : 'changed';
}

function contradictions(
  side: Contradiction['side'],
  pairs: Pairs,
  tolerance: Tolerance,
): Contradiction[] {
  return [...pairs.values()].flatMap((repeats) => {
    const epochs = new Set(repeats.map((reading) => reading.epoch));
    return [...epochs].flatMap((epoch) => {
      const readings = repeats.filter((reading) => reading.epoch === epoch);
      const [first] = readings;
      const agree =
        first === undefined || readings.every((other) => agrees(first, other, tolerance));
      return agree ? [] : [{ side, readings }];
    });
  });
}
