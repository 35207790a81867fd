import { eliminate } from './dense.ts';
import {
  type Conductances,
  type Factor,
  factorize,
  solveBetween,
  solveInPlace,
} from './kernel/ldl.ts';

/** A resistance between two nodes. */
export interface Branch {
  readonly a: number;
  readonly b: number;
  /** Ω; above zero in a network, zero allowed in a branch added to one. */
  readonly ohms: number;
}

/** What a meter would read, and where the current went. */
export interface Solution {
  /** Ω between the two points; Infinity when nothing joins them. */
  readonly ohms: number;
  /** Share of the meter's current through each added branch, signed a → b. */
  readonly currents: Float64Array;
}

/** A solution, and the volts for 1 A that separate the zeros of the islands it joins. */
interface Solved extends Solution {
  /** By island; islands that are not named lie at 0. */
  readonly lifted?: ReadonlyMap<number, number>;
}

/**
 * A frozen resistor network. Nodes that resistors join form an island; each island is grounded at
 * its busiest node and factored once, all islands in one sparse factor. Branches (faults, links)
 * are then added by a small dense system, never by refactoring.
 */
export class Network {
  readonly nodeCount: number;
  readonly branches: readonly Branch[];
  /** Length nodeCount: island number of each node. */
  readonly island: Int32Array;
  readonly islandCount: number;
  readonly #row: Int32Array; // node → matrix row, −1 for a grounded node
  readonly #node: Int32Array; // matrix row → node
  readonly #factor: Factor;
  readonly #columns = new Map<number, Float64Array>();
  #clean: Float64Array | undefined;

  /** @throws {RangeError} when a branch is not above zero ohms */
  constructor(nodeCount: number, branches: readonly Branch[]) {
    this.nodeCount = nodeCount;
    this.branches = branches;
    const { island, count } = findIslands(nodeCount, branches);
    this.island = island;
    this.islandCount = count;
    const grounds = busiestNodes(nodeCount, branches, island, count);
    this.#row = new Int32Array(nodeCount).fill(-1);
    const nodes: number[] = [];
    for (let node = 0; node < nodeCount; node++) {
      if (grounds[island[node] as number] === node) continue;
      this.#row[node] = nodes.length;
      nodes.push(node);
    }
    this.#node = Int32Array.from(nodes);
    this.#factor = factorize(conductances(branches, this.#row, nodes.length));
  }

  /** Non-zeros of the factor; for benchmarks. */
  get fill(): number {
    return this.#factor.rows.length;
  }

  /** Node voltages, by node, for 1 A into `node` and out of its island's ground. Kept; do not change. */
  column(node: number): Float64Array {
    let column = this.#columns.get(node);
    if (column === undefined) {
      column = this.#solveColumn(node);
      this.#columns.set(node, column);
    }
    return column;
  }

  #solveColumn(node: number): Float64Array {
    const out = new Float64Array(this.nodeCount);
    const row = this.#row[node] as number;
    if (row < 0) return out;
    const x = new Float64Array(this.#factor.count);
    x[row] = 1;
    solveInPlace(this.#factor, x);
    for (let k = 0; k < x.length; k++) out[this.#node[k] as number] = x[k] as number;
    return out;
  }

  /** Ω between two nodes of the bare network; Infinity between islands. */
  resistance(a: number, b: number): number {
    if (a === b) return 0;
    if (this.island[a] !== this.island[b]) return Number.POSITIVE_INFINITY;
    const ca = this.column(a);
    const cb = this.column(b);
    return (ca[a] as number) - (ca[b] as number) - (cb[a] as number) + (cb[b] as number);
  }

  /** The same for points that are asked for once: keeps no columns. */
  resistanceOnce(a: number, b: number): number {
    if (a === b || this.island[a] !== this.island[b]) return this.resistance(a, b);
    this.#clean ??= new Float64Array(this.#factor.count);
    const [rowA, rowB] = [this.#row[a] as number, this.#row[b] as number];
    return solveBetween(this.#factor, rowA, rowB, this.#clean);
  }

  /**
   * Ω between `a` and `b` with branches added.
   * @remarks With unknown currents i through the added branches and unknown offsets of the islands
   * they join, every branch obeys x_u − x_v = R·i and every island but one takes in as much current
   * as it gives out: a dense system of (branches + islands − 1) rows. Zero-ohm branches are exact.
   */
  solve(a: number, b: number, added: readonly Branch[]): Solution {
    return this.#solve(a, b, added);
  }

  #solve(a: number, b: number, added: readonly Branch[]): Solved {
    const currents = new Float64Array(added.length);
    if (a === b) return { ohms: 0, currents };
    const group = joinedIslands(this.island, a, added);
    if (!group.has(this.island[b] as number)) return { ohms: Number.POSITIVE_INFINITY, currents };
    const used: number[] = [];
    for (let k = 0; k < added.length; k++) {
      const branch = added[k] as Branch;
      if (branch.a !== branch.b && group.has(this.island[branch.a] as number)) used.push(k);
    }
    if (used.length === 0) return { ohms: this.resistance(a, b), currents };
    if (used.length === 1 && group.size === 1) {
      const k = used[0] as number;
      const branch = added[k] as Branch;
      return this.#withOne(a, b, branch, currents, k);
    }
    return this.#solveAdded(a, b, added, used, [...group.keys()], currents);
  }

  /** R − c² / (R_pq + r), c the voltage across the branch's ends for 1 A through the points. */
  #withOne(a: number, b: number, branch: Branch, currents: Float64Array, place: number): Solution {
    const ca = this.column(a);
    const cb = this.column(b);
    const open = difference(ca, branch) - difference(cb, branch);
    const loop = this.resistance(branch.a, branch.b) + branch.ohms;
    const current = open / loop;
    currents[place] = current;
    return { ohms: Math.max(0, this.resistance(a, b) - open * current), currents };
  }

  #solveAdded(
    a: number,
    b: number,
    added: readonly Branch[],
    used: readonly number[],
    islands: readonly number[],
    currents: Float64Array,
  ): Solved {
    const k = used.length;
    const size = k + islands.length - 1;
    const unknown = new Map<number, number>();
    for (let i = 1; i < islands.length; i++) unknown.set(islands[i] as number, k + i - 1);
    const m = new Float64Array(size * (size + 1)); // row-major, last column the right-hand side
    const width = size + 1;
    for (let r = 0; r < k; r++) {
      const branch = added[used[r] as number] as Branch;
      const cu = this.column(branch.a);
      const cv = this.column(branch.b);
      for (let c = 0; c < k; c++) {
        const other = added[used[c] as number] as Branch;
        m[r * width + c] = difference(cu, other) - difference(cv, other);
      }
      m[r * width + r]! += branch.ohms;
      const ua = unknown.get(this.island[branch.a] as number);
      const ub = unknown.get(this.island[branch.b] as number);
      if (ua !== ub) {
        if (ua !== undefined) setBoth(m, width, r, ua, -1);
        if (ub !== undefined) setBoth(m, width, r, ub, 1);
      }
      m[r * width + size] =
        (cu[a] as number) - (cu[b] as number) - ((cv[a] as number) - (cv[b] as number));
    }
    const ia = unknown.get(this.island[a] as number);
    const ib = unknown.get(this.island[b] as number);
    if (ia !== ib) {
      if (ia !== undefined) m[ia * width + size]! -= 1;
      if (ib !== undefined) m[ib * width + size]! += 1;
    }
    eliminate(m, size, width);
    // Where a and b share no island, the island offsets carry the whole reading.
    let ohms = this.#ownOhms(a, b);
    for (let r = 0; r < k; r++) {
      const branch = added[used[r] as number] as Branch;
      const i = m[r * width + size] as number;
      currents[used[r] as number] = i;
      const ca = this.column(branch.a);
      const cb = this.column(branch.b);
      ohms -= i * ((ca[a] as number) - (ca[b] as number) - (cb[a] as number) + (cb[b] as number));
    }
    if (ia !== undefined) ohms += m[ia * width + size] as number;
    if (ib !== undefined) ohms -= m[ib * width + size] as number;
    const lifted = new Map<number, number>();
    for (const [island, place] of unknown) lifted.set(island, m[place * width + size] as number);
    return { ohms: Math.max(0, ohms), currents, lifted };
  }

  /**
   * Node voltages for 1 A into `a` and out of `b` with branches added; undefined outside the islands
   * that are joined with `a`'s.
   */
  voltages(a: number, b: number, added: readonly Branch[]): (net: number) => number | undefined {
    const group = joinedIslands(this.island, a, added);
    const { currents, lifted } = this.#solve(a, b, added);
    const ca = this.column(a);
    const cb = this.column(b);
    return (net) => {
      const island = this.island[net] as number;
      if (!group.has(island)) return undefined;
      let volts = (lifted?.get(island) ?? 0) + (ca[net] as number) - (cb[net] as number);
      added.forEach((branch, k) => {
        const i = currents[k] as number;
        if (i !== 0)
          volts -=
            i * ((this.column(branch.a)[net] as number) - (this.column(branch.b)[net] as number));
      });
      return volts;
    };
  }

  /**
   * Standard deviation of ln R between two nodes from that of every branch of the bare network; 0
   * where nothing joins them.
   * @param spreadOf by branch number: standard deviation of ln Ω
   */
  spread(
    a: number,
    b: number,
    added: readonly Branch[],
    spreadOf: (branch: number) => number,
  ): number {
    const { ohms } = this.solve(a, b, added);
    if (ohms === 0 || ohms === Number.POSITIVE_INFINITY) return 0;
    const volts = this.voltages(a, b, added);
    let variance = 0;
    this.branches.forEach((branch, k) => {
      const va = volts(branch.a);
      const vb = volts(branch.b);
      if (va === undefined || vb === undefined) return;
      variance += (((va - vb) ** 2 / branch.ohms / ohms) * spreadOf(k)) ** 2;
    });
    return Math.sqrt(variance);
  }

  #ownOhms(a: number, b: number): number {
    if (this.island[a] === this.island[b]) return this.resistance(a, b);
    return (this.column(a)[a] as number) + (this.column(b)[b] as number);
  }
}

function difference(column: Float64Array, branch: Branch): number {
  return (column[branch.a] as number) - (column[branch.b] as number);
}

function setBoth(m: Float64Array, width: number, r: number, c: number, value: number): void {
  m[r * width + c] = value;
  m[c * width + r] = value;
}

/** Islands reachable from `a`'s through the added branches, its own first. */
function joinedIslands(island: Int32Array, a: number, added: readonly Branch[]): Set<number> {
  const group = new Set<number>([island[a] as number]);
  for (let grown = true; grown; ) {
    grown = false;
    for (const branch of added) {
      const ia = island[branch.a] as number;
      const ib = island[branch.b] as number;
      if (group.has(ia) === group.has(ib)) continue;
      group.add(ia).add(ib);
      grown = true;
    }
  }
  return group;
}

/** Island number per node; isolated nodes are islands of one. */
export function findIslands(
  nodeCount: number,
  branches: readonly Branch[],
): { island: Int32Array; count: number } {
  const root = Int32Array.from({ length: nodeCount }, (_, node) => node);
  const find = (node: number): number => {
    let at = node;
    while (root[at] !== at) {
      root[at] = root[root[at] as number] as number;
      at = root[at] as number;
    }
    return at;
  };
  for (const { a, b } of branches) {
    const ra = find(a);
    const rb = find(b);
    if (ra !== rb) root[Math.max(ra, rb)] = Math.min(ra, rb);
  }
  const island = new Int32Array(nodeCount);
  let count = 0;
  for (let node = 0; node < nodeCount; node++) {
    const top = find(node);
    island[node] = top === node ? count++ : (island[top] as number);
  }
  return { island, count };
}

/** The node of each island with most branches; taking it out keeps the fill low. */
function busiestNodes(
  nodeCount: number,
  branches: readonly Branch[],
  island: Int32Array,
  islandCount: number,
): Int32Array {
  const degree = new Int32Array(nodeCount);
  for (const { a, b } of branches) {
    degree[a]!++;
    degree[b]!++;
  }
  const best = new Int32Array(islandCount).fill(-1);
  for (let node = 0; node < nodeCount; node++) {
    const at = island[node] as number;
    const held = best[at] as number;
    if (held < 0 || (degree[node] as number) > (degree[held] as number)) best[at] = node;
  }
  return best;
}

function conductances(branches: readonly Branch[], row: Int32Array, count: number): Conductances {
  const toZero = new Float64Array(count);
  const slot = new Map<number, number>();
  const pairs: number[] = [];
  const values: number[] = []; // S
  for (const { a, b, ohms } of branches) {
    if (a === b) continue;
    if (!(ohms > 0))
      throw new RangeError(`a branch of ${ohms} Ω; a network takes only more than 0`);
    const siemens = 1 / ohms;
    const ra = row[a] as number;
    const rb = row[b] as number;
    if (ra < 0 || rb < 0) {
      if (ra !== rb) toZero[Math.max(ra, rb)]! += siemens;
      continue;
    }
    const key = Math.min(ra, rb) * count + Math.max(ra, rb);
    const held = slot.get(key);
    if (held === undefined) {
      slot.set(key, values.length);
      pairs.push(ra, rb);
      values.push(siemens);
    } else values[held]! += siemens;
  }
  return { count, toZero, pairs, siemens: values };
}
