import { DOWN, ENOUGH, type Lack, type ShortKinds, Sorter, STEEPNESS, UP } from './short-kinds.ts';
import type { StateFaults } from './state-faults.ts';
import type { Universe } from './universe.ts';

/** A short that could make up for much of a lack. */
export interface StrongShort {
  readonly id: number;
  /** It might do so by itself. */
  readonly isEnough: boolean;
}

/** Shorts of parts of which at least one must be there, and the chance of sets that do without. */
export interface StrongShorts {
  readonly shorts: readonly StrongShort[];
  readonly leftOut: number;
}

/**
 * For a reading on a large board that no border of few elements bounds: which shorts could make up
 * for what it lacks. Nets at one voltage are a cluster. With the points held at 1 V and 0 V the power
 * is what they conduct, and at the true voltages it is least (Dirichlet); moving some clusters from
 * there adds, for each, twice what conducts out of it times the square of the volts at most. So shorts
 * among clusters that are cheap to move to 0 V add little, as do those among clusters that are cheap
 * to move to 1 V. A set of nothing but such weak shorts explains nothing unless two of them, one of
 * each sort, meet in a cluster that is cheap to move both ways, or many add up; the chance of either is
 * bounded. Parts of banks fail together and always count.
 *
 * @param leastShare of the chance of the shorts named: down to it, ones that explain but together
 *   are named too
 */
export function strongShorts(
  universe: Universe,
  here: Pick<StateFaults, 'table'>,
  lack: Lack,
  leastShare: number,
): StrongShorts {
  const kinds = new Sorter(lack).kindsOf(here.table, universe.bank);
  return strongAmong([{ kinds, without: NO_IDS }], universe.before, leastShare);
}

/** By cluster: chance of the weak shorts met there that are cheap to move only up, only down, both ways; 0 between calls. */
const WORKSPACE = { up: new Float64Array(0), down: new Float64Array(0), both: new Float64Array(0) };

/** Clusters in which weak shorts of both sorts may meet. */
class Meetings {
  readonly #met: number[] = [];
  readonly #up: Float64Array;
  readonly #down: Float64Array;
  readonly #both: Float64Array;

  /** @param clusters how many there are */
  constructor(clusters: number) {
    if (WORKSPACE.up.length < clusters) {
      for (const each of ['up', 'down', 'both'] as const) {
        WORKSPACE[each] = new Float64Array(clusters);
      }
    }
    ({ up: this.#up, down: this.#down, both: this.#both } = WORKSPACE);
  }

  /** @param chance above 0 */
  add(cluster: number, ways: number, chance: number): void {
    const [up, down, both] = [this.#up, this.#down, this.#both];
    if (up[cluster] === 0 && down[cluster] === 0 && both[cluster] === 0) this.#met.push(cluster);
    const own = ways === UP ? up : ways === DOWN ? down : both;
    own[cluster]! += chance;
  }

  /** The likeliest first. */
  chains(): { readonly cluster: number; readonly chance: number }[] {
    const found: { cluster: number; chance: number }[] = [];
    for (const cluster of this.#met) {
      const chance = (this.#up[cluster] as number) * this.#othersOn(cluster);
      if (chance > 0) found.push({ cluster, chance });
    }
    return found.sort((x, y) => y.chance - x.chance || x.cluster - y.cluster);
  }

  #othersOn(cluster: number): number {
    return (this.#down[cluster] as number) + (this.#both[cluster] as number);
  }

  /** True where those that are cheap to move up and no other way are the rarer. */
  isUpRarer(cluster: number): boolean {
    return (this.#up[cluster] as number) <= this.#othersOn(cluster);
  }

  /** Leaves the workspace clean; it is of no use after that. */
  release(): void {
    for (const cluster of this.#met) {
      this.#up[cluster] = 0;
      this.#down[cluster] = 0;
      this.#both[cluster] = 0;
    }
  }
}

/** Shorts sorted for a lack, some of them left out. */
export interface SomeKinds {
  readonly kinds: ShortKinds;
  readonly without: ReadonlySet<number>;
}

export const NO_IDS: ReadonlySet<number> = new Set();
const WAYS = UP | DOWN;

/**
 * Of shorts sorted for a lack those that must be looked at: see {@link strongShorts}.
 * @param before by fault: its chance before any decision
 */
export function strongAmong(
  all: readonly SomeKinds[],
  before: Float64Array,
  leastShare: number,
): StrongShorts {
  const clusters = Math.max(...all.map(({ kinds }) => kinds.clusterCount));
  const meetings = new Meetings(clusters);
  let sum = 0;
  let exponent = 0;
  for (const { kinds, without } of all) {
    const { ids, bits, steepness, starts, meets } = kinds;
    for (let k = 0; k < ids.length; k++) {
      const id = ids[k] as number;
      if (without.size > 0 && without.has(id)) continue;
      const chance = before[id] as number;
      const ways = (bits[k] as number) & WAYS;
      if (ways === 0) {
        sum += chance;
        continue;
      }
      if (!(chance > 0)) continue;
      exponent += chance * (steepness[k] as number);
      for (let n = starts[k] as number; n < (starts[k + 1] as number); n++) {
        meetings.add(meets[n] as number, ways, chance);
      }
    }
  }
  const chains = meetings.chains();
  let left = chains.reduce((rest, { chance }) => rest + chance, 0);
  const named = new Set<number>();
  for (const { cluster, chance } of chains) {
    if (left <= leastShare * sum) break;
    left -= chance;
    named.add(cluster);
  }
  const shorts = all
    .flatMap((some) => shortsNamed(some, meetings, named))
    .sort((x, y) => x.id - y.id);
  meetings.release();
  const many = Math.exp(Math.min(0, exponent - STEEPNESS));
  return { shorts, leftOut: Math.max(0, left) + many };
}

/**
 * The strong ones, and on each of some clusters the weak shorts of one sort: without them, no two of both
 * sorts meet there.
 */
function shortsNamed(
  { kinds: { ids, bits, starts, meets }, without }: SomeKinds,
  meetings: Meetings,
  named: ReadonlySet<number>,
): StrongShort[] {
  const found: StrongShort[] = [];
  const isRarer = (k: number, ways: number): boolean => {
    for (let n = starts[k] as number; n < (starts[k + 1] as number); n++) {
      const cluster = meets[n] as number;
      if (named.has(cluster) && meetings.isUpRarer(cluster) === (ways === UP)) return true;
    }
    return false;
  };
  for (let k = 0; k < ids.length; k++) {
    const id = ids[k] as number;
    const ways = (bits[k] as number) & WAYS;
    if (ways !== 0 && (named.size === 0 || !isRarer(k, ways))) continue;
    if (!without.has(id)) found.push({ id, isEnough: bits[k] === ENOUGH });
  }
  return found;
}
