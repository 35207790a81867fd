import { joinedIslands, resistanceIn, type Solved, solveAdded } from './added-branches.ts';
import { type HalfColumn, halfSolve, product } from './kernel/half-solve.ts';
import {
  type Conductances,
  type Factor,
  factorize,
  type Plan,
  planFactor,
  solveBetween,
  solveInPlace,
} from './kernel/ldl.ts';
import { LocalColumns } from './local-columns.ts';

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

/** From this many nodes on single entries are worked out, not whole columns, for few are ever asked for. */
export const LARGE_NETWORK = 1000;

/** Of branches that take less of the power than this not even all together change a spread. */
const LEAST_POWER_SHARE = 1e-9;

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
  readonly #pattern: Pattern;
  readonly #columns = new Map<number, Float64Array>();
  readonly #halves = new Map<number, HalfColumn>();
  #clean: Float64Array | undefined;
  #flat: FlatBranches | undefined;

  /**
   * @param like a network of much the same branches, whose order of elimination will do; default: a
   *   good one is looked for
   * @throws {RangeError} when a branch is not above zero ohms
   */
  constructor(nodeCount: number, branches: readonly Branch[], like?: Network) {
    this.nodeCount = nodeCount;
    this.branches = branches;
    const { island, count } = findIslands(nodeCount, branches);
    this.island = island;
    this.islandCount = count;
    const taken = like && this.#onPlanOf(like);
    if (taken !== undefined) {
      this.#row = taken.row;
      this.#node = taken.node;
      this.#pattern = taken.pattern;
      this.#factor = factorize(taken.given, taken.pattern.plan);
      return;
    }
    const grounds = busiestNodes(nodeCount, branches, island, count);
    this.#row = new Int32Array(nodeCount).fill(-1);
    const nodes: number[] = [];
    for (let node = 0; node < nodeCount; node++) {
      if (grounds[island[node] as number] === node) continue;
      this.#row[node] = nodes.length;
      nodes.push(node);
    }
    this.#node = Int32Array.from(nodes);
    const { slots, slotOf, ...given } = conductances(branches, this.#row, nodes.length);
    const plan = planFactor(given.count, given.pairs, like && this.#orderOf(like));
    this.#pattern = { plan, slots, pairs: given.pairs, branches, slotOf };
    this.#factor = factorize(given, plan);
  }

  /** Another network's rows and pattern, where no two of its islands are joined and no pair of rows is new to it. */
  #onPlanOf(like: Network) {
    if (like.nodeCount !== this.nodeCount) return undefined;
    const loose = this.#looseFrom(like.#row);
    const given = loose && conductancesAlike(this.branches, like.#row, like.#pattern);
    if (given === undefined) return undefined;
    // No current flows to zero but through its one branch from such an island, so that all it does is to
    // raise the whole island by the same.
    for (const row of loose as readonly number[]) given.toZero[row]! += 1;
    return { row: like.#row, node: like.#node, pattern: like.#pattern, given };
  }

  /** For each island without a grounded node one of its rows; undefined where one has two such nodes. */
  #looseFrom(row: Int32Array): number[] | undefined {
    const grounds = new Uint8Array(this.islandCount);
    for (let node = 0; node < this.nodeCount; node++) {
      if ((row[node] as number) >= 0) continue;
      const island = this.island[node] as number;
      if (grounds[island] === 1) return undefined;
      grounds[island] = 1;
    }
    const loose: number[] = [];
    for (let node = 0; node < this.nodeCount; node++) {
      const island = this.island[node] as number;
      if (grounds[island] === 1) continue;
      grounds[island] = 1;
      loose.push(row[node] as number);
    }
    return loose;
  }

  /** Our rows in another network's order; what it had taken for zero goes last, as it has most branches. */
  #orderOf(like: Network): Int32Array {
    const order = new Int32Array(this.#node.length);
    let count = 0;
    for (const row of like.#factor.order) {
      const own = this.#row[like.#node[row] as number] as number;
      if (own >= 0) order[count++] = own;
    }
    this.#node.forEach((node, row) => {
      if ((like.#row[node] as number) < 0) order[count++] = row;
    });
    return order;
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
    if (this.nodeCount < LARGE_NETWORK) return resistanceIn(this, a, b);
    return this.#between(a, a) - this.#between(a, b) - this.#between(b, a) + this.#between(b, b);
  }

  /** The same for points that are asked for once: keeps no columns. */
  resistanceOnce(a: number, b: number): number {
    if (a === b || this.island[a] !== this.island[b]) return this.resistance(a, b);
    this.#clean ??= new Float64Array(this.#factor.count);
    const [rowA, rowB] = [this.#row[a] as number, this.#row[b] as number];
    return solveBetween(this.#factor, rowA, rowB, this.#clean);
  }

  /** Ω between `a` and `b` with branches added; see {@link solveAdded}. */
  solve(a: number, b: number, added: readonly Branch[]): Solution {
    return this.#solve(a, b, added);
  }

  #solve(a: number, b: number, added: readonly Branch[]): Solved {
    if (this.nodeCount < LARGE_NETWORK) return solveAdded(this, a, b, added);
    const local = new LocalColumns((from, to) => this.#between(from, to));
    const at = (node: number): number => local.placeOf(node, this.island[node] as number);
    const [placeA, placeB] = [at(a), at(b)];
    const branches = added.map((branch) => ({
      a: at(branch.a),
      b: at(branch.b),
      ohms: branch.ohms,
    }));
    return solveAdded(local, placeA, placeB, branches);
  }

  /** Voltage at one node for 1 A into another and out of its island's ground. */
  #between(from: number, to: number): number {
    if (this.nodeCount < LARGE_NETWORK) return this.column(from)[to] as number;
    if ((this.#row[from] as number) < 0 || (this.#row[to] as number) < 0) return 0;
    if (this.island[from] !== this.island[to]) return 0;
    return product(this.#factor, this.#half(from), this.#half(to));
  }

  #half(node: number): HalfColumn {
    let half = this.#halves.get(node);
    if (half === undefined) {
      this.#clean ??= new Float64Array(this.#factor.count);
      half = halfSolve(this.#factor, this.#row[node] as number, this.#clean);
      this.#halves.set(node, half);
    }
    return half;
  }

  /**
   * Node voltages for 1 A into `a` and out of `b` with branches added; undefined outside the islands
   * that are joined with `a`'s.
   */
  voltages(a: number, b: number, added: readonly Branch[]): (net: number) => number | undefined {
    const group = joinedIslands(this.island, a, added);
    const { currents, lifted } = this.#solve(a, b, added);
    return (net) => {
      const island = this.island[net] as number;
      if (!group.has(island)) return undefined;
      let volts = (lifted?.get(island) ?? 0) + this.#between(a, net) - this.#between(b, net);
      added.forEach((branch, k) => {
        const i = currents[k] as number;
        if (i !== 0) volts -= i * (this.#between(branch.a, net) - this.#between(branch.b, net));
      });
      return volts;
    };
  }

  /** The same for all nodes at once; NaN outside the islands that are joined with `a`'s. */
  allVoltages(a: number, b: number, added: readonly Branch[]): Float64Array {
    const all = new Float64Array(this.nodeCount);
    if (this.nodeCount < LARGE_NETWORK) {
      const volts = this.voltages(a, b, added);
      return all.map((_, net) => volts(net) ?? Number.NaN);
    }
    const group = joinedIslands(this.island, a, added);
    const { currents, lifted } = this.#solve(a, b, added);
    const amps = new Float64Array(this.#factor.count);
    this.#feed(amps, a, b, added, currents);
    solveInPlace(this.#factor, amps);
    const raised = new Float64Array(this.islandCount).fill(Number.NaN); // by island
    for (const island of group) raised[island] = lifted?.get(island) ?? 0;
    for (let net = 0; net < all.length; net++) {
      const row = this.#row[net] as number;
      const own = row < 0 ? 0 : (amps[row] as number);
      all[net] = (raised[this.island[net] as number] as number) + own;
    }
    return all;
  }

  /** Adds, by row, the currents of 1 A into `a` and out of `b`, those of added branches among them. */
  #feed(
    amps: Float64Array,
    a: number,
    b: number,
    added: readonly Branch[],
    currents: Float64Array,
  ): void {
    const feed = (node: number, value: number): void => {
      const row = this.#row[node] as number;
      if (row >= 0) amps[row]! += value;
    };
    feed(a, 1);
    feed(b, -1);
    added.forEach((branch, k) => {
      feed(branch.a, -(currents[k] as number));
      feed(branch.b, currents[k] as number);
    });
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
    const { ohms, currents } = this.solve(a, b, added);
    if (ohms === 0 || ohms === Number.POSITIVE_INFINITY) return 0;
    this.#flat ??= flat(this.branches, this.#row, this.#factor.count);
    const { from, to, ohms: own, volts, room } = this.#flat;
    volts.fill(0);
    this.#feed(volts, a, b, added, currents);
    solveInPlace(this.#factor, volts, room);
    let variance = 0;
    for (let k = 0; k < own.length; k++) {
      // The ends of a branch are on one island, so how far it is raised does not matter.
      const apart = (volts[from[k] as number] as number) - (volts[to[k] as number] as number);
      const share = apart ** 2 / (own[k] as number) / ohms;
      // Most of a board takes none of the power.
      if (share > LEAST_POWER_SHARE) variance += (share * spreadOf(k)) ** 2;
    }
    return Math.sqrt(variance);
  }
}

/** The rows of the ends of branches and their ohms, by number of a branch. */
interface FlatBranches {
  /** One past the last row for a grounded node. */
  readonly from: Int32Array;
  readonly to: Int32Array;
  readonly ohms: Float64Array;
  /** By row, with a zero behind them: room for one solution. */
  readonly volts: Float64Array;
  /** By row: room to work it out in. */
  readonly room: Float64Array;
}

function flat(branches: readonly Branch[], row: Int32Array, count: number): FlatBranches {
  const rowOf = (node: number): number => {
    const own = row[node] as number;
    return own < 0 ? count : own;
  };
  return {
    from: Int32Array.from(branches, ({ a }) => rowOf(a)),
    to: Int32Array.from(branches, ({ b }) => rowOf(b)),
    ohms: Float64Array.from(branches, ({ ohms }) => ohms),
    volts: new Float64Array(count + 1),
    room: new Float64Array(count),
  };
}

/** Island number per node; isolated nodes are islands of one. */
export function findIslands(
  nodeCount: number,
  branches: readonly Branch[],
): { island: Int32Array; count: number } {
  const root = new Int32Array(nodeCount);
  for (let node = 0; node < nodeCount; node++) root[node] = node;
  const find = (node: number): number => {
    let at = node;
    while (root[at] !== at) {
      root[at] = root[root[at] as number] as number;
      at = root[at] as number;
    }
    return at;
  };
  for (let k = 0; k < branches.length; k++) {
    const { a, b } = branches[k] as Branch;
    const ra = find(a);
    const rb = find(b);
    if (ra < rb) root[rb] = ra;
    else root[ra] = rb;
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

/** The pairs of rows that conduct, by their number, and how a factor of them is filled. */
interface Pattern {
  readonly plan: Plan;
  /** By both rows: number of the pair. */
  readonly slots: ReadonlyMap<number, number>;
  readonly pairs: readonly number[];
  /** Those it was made from, and by branch: number of its pair, else see {@link toZeroSlot}. */
  readonly branches: readonly Branch[];
  readonly slotOf: Int32Array;
}

/** A branch from a row to a grounded node; {@link NO_SLOT}: one that joins nothing. */
function toZeroSlot(row: number): number {
  return -2 - row;
}

const NO_SLOT = -1;

function conductances(
  branches: readonly Branch[],
  row: Int32Array,
  count: number,
): Conductances & Pick<Pattern, 'slots' | 'slotOf'> {
  const toZero = new Float64Array(count);
  const slots = new Map<number, number>();
  const slotOf = new Int32Array(branches.length);
  const pairs: number[] = [];
  const siemens: number[] = [];
  for (let k = 0; k < branches.length; k++) {
    const branch = branches[k] as Branch;
    let slot = slotFor(branch, row, count, slots);
    if (slot === undefined) {
      slot = siemens.length;
      slots.set(keyOf(branch, row, count), slot);
      pairs.push(row[branch.a] as number, row[branch.b] as number);
      siemens.push(0);
    }
    slotOf[k] = slot;
    addUp(branch, slot, toZero, siemens);
  }
  return { count, toZero, pairs, siemens, slots, slotOf };
}

/** The same by the rows of another network; undefined where a pair of rows is new to it. */
function conductancesAlike(
  branches: readonly Branch[],
  row: Int32Array,
  { slots, slotOf, pairs, branches: known, plan: { count } }: Pattern,
): Conductances | undefined {
  const toZero = new Float64Array(count);
  const siemens = new Float64Array(pairs.length / 2);
  let at = 0;
  for (let k = 0; k < branches.length; k++) {
    const branch = branches[k] as Branch;
    // Most are the very branches of the other, in its order, but for a few that are gone.
    let same = at;
    while (same < known.length && known[same] !== branch) same++;
    const isKnown = same < known.length;
    const slot = isKnown ? (slotOf[same] as number) : slotFor(branch, row, count, slots);
    if (slot === undefined) return undefined;
    if (isKnown) at = same + 1;
    addUp(branch, slot, toZero, siemens);
  }
  return { count, toZero, pairs, siemens };
}

/** @throws {RangeError} when the branch is not above zero ohms */
function slotFor(
  branch: Branch,
  row: Int32Array,
  count: number,
  slots: Pattern['slots'],
): number | undefined {
  const { a, b, ohms } = branch;
  if (a === b) return NO_SLOT;
  if (!(ohms > 0)) throw new RangeError(`a branch of ${ohms} Ω; a network takes only more than 0`);
  const ra = row[a] as number;
  const rb = row[b] as number;
  if (ra >= 0 && rb >= 0) return slots.get(keyOf(branch, row, count));
  return ra === rb ? NO_SLOT : toZeroSlot(Math.max(ra, rb));
}

function keyOf({ a, b }: Branch, row: Int32Array, count: number): number {
  const ra = row[a] as number;
  const rb = row[b] as number;
  return Math.min(ra, rb) * count + Math.max(ra, rb);
}

function addUp(
  { ohms }: Branch,
  slot: number,
  toZero: Float64Array,
  siemens: Float64Array | number[],
): void {
  if (slot >= 0) siemens[slot]! += 1 / ohms;
  else if (slot !== NO_SLOT) toZero[-2 - slot]! += 1 / ohms;
}
