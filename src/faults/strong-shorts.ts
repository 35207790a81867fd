import { type Branch, findIslands } from '../circuit/network.ts';
import type { ShortTable } from './short-table.ts';
import type { StateFaults } from './state-faults.ts';
import type { Universe } from './universe.ts';

/** Share of the whole voltage below which a short carries no current worth counting. */
export const SAME_VOLTAGE_RATIO = 1e-3;
/** A cluster can be moved cheaply when it takes so many of them to make up for what a reading lacks. */
const CHEAP_RATIO = 4;
/** Exponent of the bound on many weak shorts together, in units of what the reading lacks. */
const STEEPNESS = 16;

/** The reading that is to be explained, on the board as it is thought to be. */
export interface Lack {
  /** Of the board and of the faults that are there. */
  readonly branches: readonly Branch[];
  readonly points: readonly [number, number];
  /** By net, for 1 V at the first point and 0 V at the other; NaN where nothing joins it to them. */
  readonly volts: Float64Array;
  /** What the points lack, S; above zero. */
  readonly siemens: number;
  /** Whether a branch by itself might make up for it; only asked where rough bounds do not tell. */
  isEnough(a: number, b: number): boolean;
}

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
  here: StateFaults,
  lack: Lack,
  leastShare: number,
): StrongShorts {
  return new Sorting(universe, here, lack).result(leastShare);
}

/** Bits: cheap to move to 1 V, to 0 V. */
const UP = 1;
const DOWN = 2;

class Sorting {
  readonly #universe: Universe;
  readonly #table: ShortTable;
  readonly #lack: Lack;
  readonly #cluster: Int32Array;
  /** By cluster: what conducts out of it, S; of those of the points: without bound. */
  readonly #leaving: Float64Array;
  /** By cluster: S that moving it to 1 V, and to 0 V, adds at most. */
  readonly #up: Float64Array;
  readonly #down: Float64Array;
  readonly #strong: StrongShort[] = [];
  /** By cluster: chance of the weak shorts on it that are cheap to move only up, only down, both ways. */
  readonly #meeting: readonly [Float64Array, Float64Array, Float64Array];
  /** By cluster: the last short that moves it. */
  readonly #metAt: Int32Array;
  #turn = 0;
  #exponent = 0;

  constructor(universe: Universe, here: StateFaults, lack: Lack) {
    this.#universe = universe;
    this.#table = here.table;
    this.#lack = lack;
    const joined = lack.branches.filter(({ a, b }) => !this.#differ(a, b));
    const { island, count } = findIslands(lack.volts.length, joined);
    this.#cluster = island;
    this.#leaving = leavingOf(lack.branches, island, count);
    const [one, zero] = lack.points.map((net) => island[net] as number) as [number, number];
    for (const cluster of [one, zero]) this.#leaving[cluster] = Number.POSITIVE_INFINITY;
    this.#up = this.#movingTo(1, one);
    this.#down = this.#movingTo(0, zero);
    this.#meeting = [new Float64Array(count), new Float64Array(count), new Float64Array(count)];
    this.#metAt = new Int32Array(count);
    for (let at = 0; at < this.#table.ids.length; at++) this.#sort(at);
  }

  #movingTo(volts: number, held: number): Float64Array {
    const adds = new Float64Array(this.#leaving.length);
    for (let net = 0; net < this.#cluster.length; net++) {
      const cluster = this.#cluster[net] as number;
      const height = this.#lack.volts[net] as number;
      if (cluster === held || Number.isNaN(height)) continue;
      const siemens = 2 * (this.#leaving[cluster] as number) * (volts - height) ** 2;
      if (siemens > (adds[cluster] as number)) adds[cluster] = siemens;
    }
    return adds;
  }

  result(leastShare: number): StrongShorts {
    let sum = 0;
    for (const { id } of this.#strong) sum += this.#chanceOf(id);
    const chains = this.#chains();
    let left = chains.reduce((all, { chance }) => all + chance, 0);
    const named = new Set<number>();
    for (const { cluster, chance } of chains) {
      if (left <= leastShare * sum) break;
      left -= chance;
      named.add(cluster);
    }
    const shorts = [...this.#strong, ...this.#rarerOn(named)].sort((x, y) => x.id - y.id);
    const many = Math.exp(Math.min(0, this.#exponent - STEEPNESS));
    return { shorts, leftOut: Math.max(0, left) + many };
  }

  /** Clusters in which weak shorts of both sorts may meet, the likeliest first. */
  #chains(): { readonly cluster: number; readonly chance: number }[] {
    const [up, down, both] = this.#meeting;
    const found: { cluster: number; chance: number }[] = [];
    up.forEach((own, cluster) => {
      const chance = own * ((down[cluster] as number) + (both[cluster] as number));
      if (chance > 0) found.push({ cluster, chance });
    });
    return found.sort((x, y) => y.chance - x.chance || x.cluster - y.cluster);
  }

  #sort(at: number): void {
    const id = this.#table.ids[at] as number;
    if (!this.#carries(at)) return;
    const ways = this.#isOfBank(id) ? 0 : this.#waysOf(at);
    if (ways === 0) {
      this.#strong.push({ id, isEnough: this.#isEnough(at) });
      return;
    }
    const chance = this.#chanceOf(id);
    const share = this.#movingSiemens(at, ways) / this.#lack.siemens;
    this.#exponent += chance * Math.expm1(STEEPNESS * share);
    const meeting = this.#meeting[ways - 1] as Float64Array;
    this.#turn++;
    const { starts, a, b } = this.#table;
    for (let k = starts[at] as number; k < (starts[at + 1] as number); k++) {
      if (!this.#moves(k)) continue;
      this.#meet(meeting, this.#at(a, k), chance);
      this.#meet(meeting, this.#at(b, k), chance);
    }
  }

  /** Once for each short. */
  #meet(meeting: Float64Array, cluster: number, chance: number): void {
    if (this.#metAt[cluster] === this.#turn) return;
    this.#metAt[cluster] = this.#turn;
    if (this.#isCheapBothWays(cluster)) meeting[cluster]! += chance;
  }

  #carries(at: number): boolean {
    const { starts, a, b } = this.#table;
    const end = starts[at + 1] as number;
    for (let k = starts[at] as number; k < end; k++) {
      if (this.#differ(a[k] as number, b[k] as number)) return true;
    }
    return false;
  }

  /** Where all that a short joins can be moved cheaply; 0: nowhere. */
  #waysOf(at: number): number {
    const { starts, a, b } = this.#table;
    const cheap = this.#lack.siemens / CHEAP_RATIO;
    let ways = UP | DOWN;
    const end = starts[at + 1] as number;
    for (let k = starts[at] as number; k < end; k++) {
      if (!this.#moves(k)) continue;
      const one = this.#at(a, k);
      const other = this.#at(b, k);
      if (one === other && this.#differ(a[k] as number, b[k] as number)) return 0;
      if (Math.max(this.#up[one] as number, this.#up[other] as number) > cheap) ways &= ~UP;
      if (Math.max(this.#down[one] as number, this.#down[other] as number) > cheap) ways &= ~DOWN;
    }
    return ways;
  }

  /** S that a weak short adds at most when all it joins is moved one of its ways. */
  #movingSiemens(at: number, ways: number): number {
    const { starts, a, b, ohms } = this.#table;
    let up = 0;
    let down = 0;
    const end = starts[at + 1] as number;
    for (let k = starts[at] as number; k < end; k++) {
      const own = this.#moves(k) ? 0 : 1 / (ohms[k] as number);
      up += own;
      down += own;
      if (own > 0) continue;
      const one = this.#at(a, k);
      const other = this.#at(b, k);
      up = up + (this.#up[one] as number) + (this.#up[other] as number);
      down = down + (this.#down[one] as number) + (this.#down[other] as number);
    }
    return ways === UP ? up : ways === DOWN ? down : Math.max(up, down);
  }

  /** A branch of few siemens adds no more than them with nothing moved. */
  #moves(k: number): boolean {
    return (this.#table.ohms[k] as number) * this.#lack.siemens <= CHEAP_RATIO;
  }

  #isCheapBothWays(cluster: number): boolean {
    const cheap = this.#lack.siemens / CHEAP_RATIO;
    return (this.#up[cluster] as number) <= cheap && (this.#down[cluster] as number) <= cheap;
  }

  #at(ends: Int32Array, k: number): number {
    return this.#cluster[ends[k] as number] as number;
  }

  /** Clusters that the branches of a short which move something end in. */
  #clustersOf(at: number): Set<number> {
    const { starts, a, b } = this.#table;
    const found = new Set<number>();
    for (let k = starts[at] as number; k < (starts[at + 1] as number); k++) {
      if (this.#moves(k)) found.add(this.#at(a, k)).add(this.#at(b, k));
    }
    return found;
  }

  #isEnough(at: number): boolean {
    const { starts, a, b } = this.#table;
    if (this.#aloneOf(at) < this.#lack.siemens) return false;
    const first = starts[at] as number;
    if ((starts[at + 1] as number) > first + 1) return true;
    return this.#lack.isEnough(a[first] as number, b[first] as number);
  }

  /** What a short adds at most by itself, S: nothing moved, or all it joins to what is hardest to move. */
  #aloneOf(at: number): number {
    const { starts, a, b, ohms } = this.#table;
    const first = starts[at] as number;
    if ((starts[at + 1] as number) === first + 1) return this.#aloneOfOne(first);
    const nets = new Map<number, number>(); // cluster → net
    let still = 0;
    let isMoved = true;
    for (let k = starts[at] as number; k < (starts[at + 1] as number); k++) {
      const [from, to] = [a[k] as number, b[k] as number];
      still += this.#apart(from, to) ** 2 / (ohms[k] as number);
      if (this.#at(a, k) === this.#at(b, k) && this.#differ(from, to)) isMoved = false;
      nets.set(this.#at(a, k), from).set(this.#at(b, k), to);
    }
    if (!isMoved) return still;
    const out = (cluster: number): number => this.#leaving[cluster] as number;
    const [anchor, ...rest] = [...nets.keys()].sort((x, y) => out(y) - out(x));
    const place = nets.get(anchor as number) as number;
    let moving = 0;
    for (const cluster of rest) {
      const apart = this.#apart(nets.get(cluster) as number, place);
      moving += (rest.length > 1 ? 2 : 1) * out(cluster) * apart ** 2;
    }
    return Math.min(still, moving);
  }

  #aloneOfOne(k: number): number {
    const { a, b, ohms } = this.#table;
    const from = a[k] as number;
    const to = b[k] as number;
    const one = this.#at(a, k);
    const other = this.#at(b, k);
    const apart = this.#apart(from, to);
    const still = apart ** 2 / (ohms[k] as number);
    if (one === other) return this.#differ(from, to) ? still : Math.min(still, 0);
    const moved = Math.min(this.#leaving[one] as number, this.#leaving[other] as number);
    return Math.min(still, moved * apart ** 2);
  }

  #apart(a: number, b: number): number {
    const apart = Math.abs((this.#lack.volts[a] as number) - (this.#lack.volts[b] as number));
    return Number.isNaN(apart) ? 1 : apart;
  }

  #differ(a: number, b: number): boolean {
    const u = this.#lack.volts[a] as number;
    const v = this.#lack.volts[b] as number;
    if (Number.isNaN(u) || Number.isNaN(v)) return !(Number.isNaN(u) && Number.isNaN(v));
    return Math.abs(u - v) > SAME_VOLTAGE_RATIO;
  }

  #chanceOf(id: number): number {
    return this.#universe.before[id] as number;
  }

  #isOfBank(id: number): boolean {
    return (this.#universe.bank[id] as number) >= 0;
  }

  /** On each of some clusters the weak shorts of one sort: without them, no two of both sorts meet there. */
  #rarerOn(named: ReadonlySet<number>): StrongShort[] {
    const [up, down, both] = this.#meeting;
    const found: StrongShort[] = [];
    if (named.size === 0) return found;
    this.#table.ids.forEach((id, at) => {
      const clusters = [...this.#clustersOf(at)].filter((cluster) => named.has(cluster));
      if (clusters.length === 0 || this.#isOfBank(id) || !this.#carries(at)) return;
      const ways = this.#waysOf(at);
      const isRarer = clusters.some((cluster) => {
        const others = (down[cluster] as number) + (both[cluster] as number);
        return (up[cluster] as number) <= others === (ways === UP);
      });
      if (ways !== 0 && isRarer) found.push({ id, isEnough: false });
    });
    return found;
  }
}

/** By cluster: what conducts out of it, S. */
function leavingOf(branches: readonly Branch[], cluster: Int32Array, count: number): Float64Array {
  const leaving = new Float64Array(count);
  for (const { a, b, ohms } of branches) {
    const [one, other] = [cluster[a] as number, cluster[b] as number];
    if (one === other) continue;
    leaving[one]! += 1 / ohms;
    leaving[other]! += 1 / ohms;
  }
  return leaving;
}
