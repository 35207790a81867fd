import { type Branch, findIslands, Network } from '../network.ts';
import type { Layout, Stretch } from './layout.ts';
import { type Tree, treeOf } from './tree.ts';
import { zeros } from './zeros.ts';

/** A part of little resistance that joins the copper of two nets. */
export interface CopperLink {
  readonly part: number;
  readonly pinA: number;
  readonly pinB: number;
  readonly ohms: number;
  /** Standard deviation of the ohms, as a ratio of them. */
  readonly spread: number;
}

/** Where a current comes from and goes to: currents into pins, summing to 0; 1 A in all. */
export type Feed = readonly (readonly [pin: number, amps: number])[];

/** Which stretches carry current, and how much, A. */
export interface Currents {
  readonly at: readonly number[];
  readonly amps: readonly number[];
}

/** Ways over a tree from one pin, by node they lead to. */
export interface Ways {
  /** By layout, links last: Ω. */
  readonly ohms: readonly Float64Array[];
  /** Variance of the ohms from copper, and from links, Ω². */
  readonly copper: Float64Array;
  readonly links: Float64Array;
}

/** Stretches that carry less (of 1 A, squared) add nothing to the error that a meter would show. */
export const LEAST_SQUARE_AMPS = 4e-3;

/** Sums of currents that cancel are this small. */
const NOTHING = 1e-12;

/** A zero-ohm link is some copper and two joints all the same, Ω. */
const LEAST_LINK_OHMS = 2e-4;

/**
 * One side of a short: the copper of a rail, with that of the nets behind its links and shunts, as one
 * network of stretches. Voltages and currents are those for 1 A; stretches are numbered the same
 * whatever links are off.
 */
export class CopperSide {
  /** Stretches of copper first, then links. */
  readonly stretches: readonly Stretch[];
  /** By stretch: which layout it belongs to; the links are the last number. */
  readonly layoutOf: Int32Array;
  readonly layoutCount: number;
  readonly #hasLinks: boolean;
  readonly #nodes: number;
  readonly #branches: readonly Branch[];
  readonly #island: Int32Array;
  /** Where there are no loops. */
  readonly #tree: Tree | undefined;
  #flat: { readonly ohms: Float64Array; readonly spread: Float64Array } | undefined;
  #known: Network | undefined;
  readonly #nodeOf = new Map<number, number>();
  /** By stretch: branch of the network, −1 where a link is off. */
  readonly #branchOf: Int32Array;
  readonly #stretchOf: readonly number[];
  readonly #amps = new Map<number, Float64Array>();
  readonly #near = new Map<number, Int32Array>();
  readonly #ways = new Map<number, Ways>();

  /** @param isOn whether a link's part is in circuit */
  constructor(
    layouts: readonly Layout[],
    links: readonly CopperLink[],
    isOn: (link: CopperLink) => boolean,
  ) {
    let nodes = 0;
    const stretches: Stretch[] = [];
    const owners: number[] = [];
    layouts.forEach((layout, k) => {
      for (const [pin, node] of layout.nodeOf) this.#nodeOf.set(pin, nodes + node);
      for (const stretch of layout.stretches) {
        stretches.push({ ...stretch, a: nodes + stretch.a, b: nodes + stretch.b });
        owners.push(k);
      }
      nodes += layout.nodeCount;
    });
    const copper = stretches.length;
    const isKept: boolean[] = [];
    for (const link of links) {
      const a = this.#nodeOf.get(link.pinA);
      const b = this.#nodeOf.get(link.pinB);
      if (a === undefined || b === undefined) continue;
      stretches.push({ a, b, ohms: Math.max(link.ohms, LEAST_LINK_OHMS), spread: link.spread });
      owners.push(layouts.length);
      isKept.push(isOn(link));
    }
    const branches: Branch[] = [];
    const stretchOf: number[] = [];
    this.#branchOf = Int32Array.from(stretches, (stretch, k) => {
      if (k >= copper && isKept[k - copper] !== true) return -1;
      stretchOf.push(k);
      return branches.push(stretch) - 1;
    });
    this.#stretchOf = stretchOf;
    this.stretches = stretches;
    this.layoutOf = Int32Array.from(owners);
    this.layoutCount = layouts.length + 1;
    this.#hasLinks = stretches.length > copper;
    this.#nodes = nodes;
    this.#branches = branches;
    const { island, count } = findIslands(nodes, branches);
    this.#island = island;
    this.#tree = branches.length === nodes - count ? treeOf(nodes, branches) : undefined;
  }

  /** By stretch: Ω, and what they may be off by as a ratio of them. */
  get flat(): { readonly ohms: Float64Array; readonly spread: Float64Array } {
    this.#flat ??= {
      ohms: Float64Array.from(this.stretches, ({ ohms }) => ohms),
      spread: Float64Array.from(this.stretches, ({ spread }) => spread),
    };
    return this.#flat;
  }

  get #network(): Network {
    this.#known ??= new Network(this.#nodes, this.#branches);
    return this.#known;
  }

  get hasLinks(): boolean {
    return this.#hasLinks;
  }

  get isTree(): boolean {
    return this.#tree !== undefined;
  }

  nodeOf(pin: number): number | undefined {
    return this.#nodeOf.get(pin);
  }

  /** From a pin to every node of a tree. */
  ways(pin: number): Ways {
    let ways = this.#ways.get(pin);
    if (ways === undefined) {
      ways = this.#waysFrom(this.#nodeOf.get(pin) as number);
      this.#ways.set(pin, ways);
    }
    return ways;
  }

  #waysFrom(start: number): Ways {
    const { first, next, branch } = this.#tree as Tree;
    const { ohms: own, spread } = this.flat;
    const count = this.#nodes;
    const last = this.layoutCount - 1;
    const ohms: Float64Array[] = Array.from({ length: last }, () => new Float64Array(count));
    const copper = new Float64Array(count);
    const links = this.#hasLinks ? new Float64Array(count) : zeros(count);
    ohms.push(this.#hasLinks ? new Float64Array(count) : zeros(count));
    const carried = this.#hasLinks ? ohms : ohms.slice(0, last);
    const isSeen = new Uint8Array(count);
    const queue = new Int32Array(count);
    queue[0] = start;
    isSeen[start] = 1;
    for (let at = 0, end = 1; at < end; at++) {
      const here = queue[at] as number;
      for (let k = first[here] as number; k < (first[here + 1] as number); k++) {
        const node = next[k] as number;
        if (isSeen[node] === 1) continue;
        isSeen[node] = 1;
        queue[end++] = node;
        const stretch = this.#stretchOf[branch[k] as number] as number;
        const layout = this.layoutOf[stretch] as number;
        for (const way of carried) way[node] = way[here] as number;
        (ohms[layout] as Float64Array)[node]! += own[stretch] as number;
        const more = ((own[stretch] as number) * (spread[stretch] as number)) ** 2;
        copper[node] = (copper[here] as number) + (layout === last ? 0 : more);
        if (this.#hasLinks) links[node] = (links[here] as number) + (layout === last ? more : 0);
      }
    }
    return { ohms, copper, links };
  }

  has(pin: number): boolean {
    return this.#nodeOf.has(pin);
  }

  /** Whether copper and links lead from one pin to the other. */
  joins(one: number, other: number): boolean {
    const [a, b] = [this.#nodeOf.get(one), this.#nodeOf.get(other)];
    return a !== undefined && b !== undefined && this.#island[a] === this.#island[b];
  }

  /** V at a pin for 1 A into another and out of the zero node of both: only differences mean anything. */
  volts(from: number, at: number): number {
    const column = this.#network.column(this.#nodeOf.get(from) as number);
    return column[this.#nodeOf.get(at) as number] as number;
  }

  /** Ω between two pins. */
  ohms(one: number, other: number): number {
    return this.volts(one, one) + this.volts(other, other) - 2 * this.volts(one, other);
  }

  /** V from one pin to another while a current flows. */
  between(feed: Feed, one: number, other: number): number {
    let volts = 0;
    for (const [pin, amps] of feed) volts += amps * (this.volts(pin, one) - this.volts(pin, other));
    return volts;
  }

  /** Currents through the stretches that carry some, from `a` to `b`. */
  currents(feed: Feed): Currents {
    if (this.#tree !== undefined) return this.#climb(this.#tree, feed);
    const sum = new Float64Array(this.stretches.length);
    for (const [pin, amps] of feed) {
      if (amps === 0) continue;
      const one = this.ampsFrom(pin);
      for (let k = 0; k < sum.length; k++) sum[k]! += amps * (one[k] as number);
    }
    const at: number[] = [];
    for (let k = 0; k < sum.length; k++) if (sum[k] !== 0) at.push(k);
    return { at, amps: at.map((k) => sum[k] as number) };
  }

  /** On a tree every current goes from its pin to the root; above where two meet they cancel. */
  #climb({ parent, above, toParent }: Tree, feed: Feed): Currents {
    const sums = new Map<number, number>();
    for (const [pin, amps] of feed) {
      if (amps === 0) continue;
      let node = this.#nodeOf.get(pin) as number;
      while ((parent[node] as number) >= 0) {
        const branch = above[node] as number;
        sums.set(branch, (sums.get(branch) ?? 0) + amps * (toParent[node] as number));
        node = parent[node] as number;
      }
    }
    const at: number[] = [];
    const all: number[] = [];
    for (const [branch, amps] of sums) {
      if (Math.abs(amps) < NOTHING) continue;
      at.push(this.#stretchOf[branch] as number);
      all.push(amps);
    }
    return { at, amps: all };
  }

  /** By stretch, from `a` to `b`: A, for 1 A into a pin and out of the zero node. */
  ampsFrom(pin: number): Float64Array {
    let amps = this.#amps.get(pin);
    if (amps === undefined) {
      const column = this.#network.column(this.#nodeOf.get(pin) as number);
      amps = Float64Array.from(this.stretches, ({ a, b, ohms }, k) => {
        if ((this.#branchOf[k] as number) < 0) return 0;
        return ((column[a] as number) - (column[b] as number)) / ohms;
      });
      this.#amps.set(pin, amps);
    }
    return amps;
  }

  /** Stretches that carry half of the least that counts, for 1 A into a pin: of two pins one has each that counts. */
  near(pin: number): Int32Array {
    let near = this.#near.get(pin);
    if (near === undefined) {
      const amps = this.ampsFrom(pin);
      const found: number[] = [];
      for (let k = 0; k < amps.length; k++) {
        if (4 * (amps[k] as number) ** 2 >= LEAST_SQUARE_AMPS) found.push(k);
      }
      near = Int32Array.from(found);
      this.#near.set(pin, near);
    }
    return near;
  }
}
