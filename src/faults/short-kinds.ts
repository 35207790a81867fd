import { type Branch, findIslands } from '../circuit/network.ts';
import type { ShortTable } from './short-table.ts';

/** Share of the whole voltage below which a short carries no current worth counting. */
export const SAME_VOLTAGE_RATIO = 1e-3;
/** A cluster can be moved cheaply when it takes so many of them to make up for what a reading lacks. */
const CHEAP_RATIO = 4;
/** Exponent of the bound on many weak shorts together, in units of what the reading lacks. */
export const STEEPNESS = 16;

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
  readonly isEnough: (a: number, b: number) => boolean;
}

/** Bits: cheap to move to 1 V, to 0 V. */
export const UP = 1;
export const DOWN = 2;
export const ENOUGH = 4;

/**
 * What the shorts of a table could do for a lack, whatever their chances; those that carry nothing are left
 * out. Laid out flat, as a large board has ten thousand of them for every lack.
 */
export interface ShortKinds {
  /** Ascending. */
  readonly ids: Int32Array;
  /**
   * Bits: {@link UP} and {@link DOWN} where all that it joins can be moved cheaply that way; neither: it is
   * strong. {@link ENOUGH}: it is strong and might be enough by itself.
   */
  readonly bits: Uint8Array;
  /** Of a weak one: what its chance counts for in the bound on many together. */
  readonly steepness: Float64Array;
  /** Of a weak one: clusters it moves that are cheap to move both ways, `meets` from `starts[k]` to `starts[k + 1]`. */
  readonly starts: Int32Array;
  readonly meets: Int32Array;
  /** Clusters in all. */
  readonly clusterCount: number;
}

/** Sorts shorts by what they could do for a lack: see {@link strongShorts}. */
export class Sorter {
  /** Of the lack; its branches are of no use any more. */
  readonly #volts: Float64Array;
  readonly #siemens: number;
  readonly #isEnoughAlone: Lack['isEnough'];
  readonly #cluster: Int32Array;
  /** By cluster: what conducts out of it, S; of those of the points: without bound. */
  readonly #leaving: Float64Array;
  /** By cluster: S that moving it to 1 V, and to 0 V, adds at most. */
  readonly #up: Float64Array;
  readonly #down: Float64Array;

  constructor(lack: Lack) {
    this.#volts = lack.volts;
    this.#siemens = lack.siemens;
    this.#isEnoughAlone = lack.isEnough;
    const joined = lack.branches.filter(({ a, b }) => !this.#differ(a, b));
    const { island, count } = findIslands(lack.volts.length, joined);
    this.#cluster = island;
    this.#leaving = leavingOf(lack.branches, island, count);
    const [one, zero] = lack.points.map((net) => island[net] as number) as [number, number];
    for (const cluster of [one, zero]) this.#leaving[cluster] = Number.POSITIVE_INFINITY;
    this.#up = this.#movingTo(1, one);
    this.#down = this.#movingTo(0, zero);
  }

  #movingTo(volts: number, held: number): Float64Array {
    const adds = new Float64Array(this.#leaving.length);
    for (let net = 0; net < this.#cluster.length; net++) {
      const cluster = this.#cluster[net] as number;
      const height = this.#volts[net] as number;
      if (cluster === held || Number.isNaN(height)) continue;
      const siemens = 2 * (this.#leaving[cluster] as number) * (volts - height) ** 2;
      if (siemens > (adds[cluster] as number)) adds[cluster] = siemens;
    }
    return adds;
  }

  /** @param bank by fault: its bank, below 0 where it is in none */
  kindsOf(table: ShortTable, bank: Int32Array): ShortKinds {
    const carrying = this.#carryingOf(table);
    const ids = new Int32Array(carrying.length);
    const bits = new Uint8Array(carrying.length);
    const steepness = new Float64Array(carrying.length);
    const starts = new Int32Array(carrying.length + 1);
    const meets: number[] = [];
    for (let k = 0; k < carrying.length; k++) {
      const at = carrying[k] as number;
      const id = table.ids[at] as number;
      const ways = (bank[id] as number) >= 0 ? 0 : this.#waysOf(table, at);
      ids[k] = id;
      if (ways === 0) bits[k] = this.#isEnough(table, at) ? ENOUGH : 0;
      else {
        bits[k] = ways;
        const share = this.#movingSiemens(table, at, ways) / this.#siemens;
        steepness[k] = Math.expm1(STEEPNESS * share);
        this.#takeMeets(table, at, meets);
      }
      starts[k + 1] = meets.length;
    }
    const clusterCount = this.#leaving.length;
    return { ids, bits, steepness, starts, meets: Int32Array.from(meets), clusterCount };
  }

  /** Places of the shorts some branch of which carries a current. */
  #carryingOf(table: ShortTable): number[] {
    const found: number[] = [];
    for (let at = 0; at < table.ids.length; at++) if (this.#carries(table, at)) found.push(at);
    return found;
  }

  #carries({ starts, a, b }: ShortTable, at: number): boolean {
    const volts = this.#volts;
    const end = starts[at + 1] as number;
    for (let k = starts[at] as number; k < end; k++) {
      const apart = Math.abs((volts[a[k] as number] as number) - (volts[b[k] as number] as number));
      if (apart <= SAME_VOLTAGE_RATIO) continue; // most of a board, by far
      if (this.#differ(a[k] as number, b[k] as number)) return true;
    }
    return false;
  }

  /** Where all that a short joins can be moved cheaply; 0: nowhere. */
  #waysOf(table: ShortTable, at: number): number {
    const { starts, a, b } = table;
    const cheap = this.#siemens / CHEAP_RATIO;
    let ways = UP | DOWN;
    const end = starts[at + 1] as number;
    for (let k = starts[at] as number; k < end; k++) {
      if (!this.#moves(table, k)) continue;
      const one = this.#at(a, k);
      const other = this.#at(b, k);
      if (one === other && this.#differ(a[k] as number, b[k] as number)) return 0;
      if (Math.max(this.#up[one] as number, this.#up[other] as number) > cheap) ways &= ~UP;
      if (Math.max(this.#down[one] as number, this.#down[other] as number) > cheap) ways &= ~DOWN;
    }
    return ways;
  }

  /** S that a weak short adds at most when all it joins is moved one of its ways. */
  #movingSiemens(table: ShortTable, at: number, ways: number): number {
    const { starts, a, b, ohms } = table;
    let up = 0;
    let down = 0;
    const end = starts[at + 1] as number;
    for (let k = starts[at] as number; k < end; k++) {
      const own = this.#moves(table, k) ? 0 : 1 / (ohms[k] as number);
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
  #moves({ ohms }: ShortTable, k: number): boolean {
    return (ohms[k] as number) * this.#siemens <= CHEAP_RATIO;
  }

  #isCheapBothWays(cluster: number): boolean {
    const cheap = this.#siemens / CHEAP_RATIO;
    return (this.#up[cluster] as number) <= cheap && (this.#down[cluster] as number) <= cheap;
  }

  #at(ends: Int32Array, k: number): number {
    return this.#cluster[ends[k] as number] as number;
  }

  /** Adds the clusters that the branches of a short which move something end in, where cheap to move both ways. */
  #takeMeets(table: ShortTable, at: number, meets: number[]): void {
    const { starts, a, b } = table;
    const first = meets.length;
    for (let k = starts[at] as number; k < (starts[at + 1] as number); k++) {
      if (!this.#moves(table, k)) continue;
      for (let end = 0; end < 2; end++) {
        const cluster = this.#at(end === 0 ? a : b, k);
        if (this.#isCheapBothWays(cluster) && meets.indexOf(cluster, first) < 0)
          meets.push(cluster);
      }
    }
  }

  #isEnough(table: ShortTable, at: number): boolean {
    const { starts, a, b } = table;
    if (this.#aloneOf(table, at) < this.#siemens) return false;
    const first = starts[at] as number;
    if ((starts[at + 1] as number) > first + 1) return true;
    return this.#isEnoughAlone(a[first] as number, b[first] as number);
  }

  /** What a short adds at most by itself, S: nothing moved, or all it joins to what is hardest to move. */
  #aloneOf(table: ShortTable, at: number): number {
    const { starts, a, b, ohms } = table;
    const first = starts[at] as number;
    if ((starts[at + 1] as number) === first + 1) return this.#aloneOfOne(table, first);
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

  #aloneOfOne({ a, b, ohms }: ShortTable, k: number): number {
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
    const apart = Math.abs((this.#volts[a] as number) - (this.#volts[b] as number));
    return Number.isNaN(apart) ? 1 : apart;
  }

  #differ(a: number, b: number): boolean {
    const u = this.#volts[a] as number;
    const v = this.#volts[b] as number;
    if (Number.isNaN(u) || Number.isNaN(v)) return !(Number.isNaN(u) && Number.isNaN(v));
    return Math.abs(u - v) > SAME_VOLTAGE_RATIO;
  }
}

/** By cluster: what conducts out of it, S. */
function leavingOf(branches: readonly Branch[], cluster: Int32Array, count: number): Float64Array {
  const leaving = new Float64Array(count);
  for (let k = 0; k < branches.length; k++) {
    const { a, b, ohms } = branches[k] as Branch;
    const one = cluster[a] as number;
    const other = cluster[b] as number;
    if (one === other) continue;
    leaving[one]! += 1 / ohms;
    leaving[other]! += 1 / ohms;
  }
  return leaving;
}
