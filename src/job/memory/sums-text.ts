/** Sums of models as text that gives the same sums again, in the same order. */
import type { MinutesSum } from './action-minutes.ts';
import type { ModelSums } from './model-sums.ts';
import type { FoundSum, Tally } from './tally.ts';

type Rows<T> = readonly (readonly [string, T])[];

/** One model's sums with lists of pairs in place of maps: objects would change the order of some names. */
interface StoredSums {
  readonly boards: number;
  readonly found: Readonly<Record<'parts' | 'kinds' | 'duties', Rows<FoundSum>>>;
  readonly counts: Readonly<Record<'joints' | 'banks' | 'units' | 'pairs', Rows<number>>>;
  readonly expected: {
    readonly kinds: Rows<number>;
    readonly duties: Rows<number>;
    readonly joints: number;
    readonly banks: number;
  };
  readonly last: ModelSums['last'];
  readonly timings: Rows<MinutesSum>;
  readonly hands: Rows<Rows<MinutesSum>>;
}

export function packedSums(models: ReadonlyMap<string, ModelSums>): string {
  return JSON.stringify([...models].map(([model, sums]) => [model, stored(sums)]));
}

export function unpackedSums(text: string): Map<string, ModelSums> {
  const rows = JSON.parse(text) as Rows<StoredSums>;
  return new Map(rows.map(([model, sums]) => [model, restored(sums)]));
}

function stored({ tally, last, timings, hands }: ModelSums): StoredSums {
  const { boards, parts, kinds, duties, joints, banks, units, pairs, expected } = tally;
  return {
    boards,
    found: { parts: [...parts], kinds: [...kinds], duties: [...duties] },
    counts: { joints: [...joints], banks: [...banks], units: [...units], pairs: [...pairs] },
    expected: { ...expected, kinds: [...expected.kinds], duties: [...expected.duties] },
    last,
    timings: [...timings],
    hands: [...hands].map(([name, sums]) => [name, [...sums]]),
  };
}

function restored({
  boards,
  found,
  counts,
  expected,
  last,
  timings,
  hands,
}: StoredSums): ModelSums {
  const tally: Tally = {
    boards,
    parts: new Map(found.parts),
    kinds: new Map(found.kinds),
    duties: new Map(found.duties),
    joints: new Map(counts.joints),
    banks: new Map(counts.banks),
    units: new Map(counts.units),
    pairs: new Map(counts.pairs),
    expected: {
      ...expected,
      kinds: new Map(expected.kinds),
      duties: new Map(expected.duties),
    },
  };
  return {
    tally,
    last,
    timings: new Map(timings),
    hands: new Map(hands.map(([name, sums]) => [name, new Map(sums)])),
  };
}
