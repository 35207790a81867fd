import { eliminate } from './dense.ts';
import type { Branch, Solution } from './network.ts';

/** What is known of a factored network: node voltages for 1 A into a node and out of its island's ground. */
export interface Columns {
  /** By node. */
  readonly island: ArrayLike<number>;
  column(node: number): ArrayLike<number>;
}

/** A solution, and the volts for 1 A that separate the zeros of the islands it joins. */
export interface Solved extends Solution {
  /** By island; islands that are not named lie at 0. */
  readonly lifted?: ReadonlyMap<number, number>;
}

/** Ω between two nodes of the bare network; Infinity between islands. */
export function resistanceIn(from: Columns, a: number, b: number): number {
  if (a === b) return 0;
  if (from.island[a] !== from.island[b]) return Number.POSITIVE_INFINITY;
  const ca = from.column(a);
  const cb = from.column(b);
  return (ca[a] as number) - (ca[b] as number) - (cb[a] as number) + (cb[b] as number);
}

/**
 * Ω between `a` and `b` with branches added.
 * @remarks With unknown currents i through the added branches and unknown offsets of the islands
 * they join, every branch obeys x_u − x_v = R·i and every island but one takes in as much current
 * as it gives out: a dense system of (branches + islands − 1) rows. Zero-ohm branches are exact.
 */
export function solveAdded(from: Columns, a: number, b: number, added: readonly Branch[]): Solved {
  const currents = new Float64Array(added.length);
  if (a === b) return { ohms: 0, currents };
  const group = joinedIslands(from.island, a, added);
  if (!group.has(from.island[b] as number)) return { ohms: Number.POSITIVE_INFINITY, currents };
  const used: number[] = [];
  for (let k = 0; k < added.length; k++) {
    const branch = added[k] as Branch;
    if (branch.a !== branch.b && group.has(from.island[branch.a] as number)) used.push(k);
  }
  if (used.length === 0) return { ohms: resistanceIn(from, a, b), currents };
  if (used.length === 1 && group.size === 1) {
    const k = used[0] as number;
    const branch = added[k] as Branch;
    return withOne(from, a, b, branch, currents, k);
  }
  return solveMany(from, a, b, added, used, [...group.keys()], currents);
}

/** R − c² / (R_pq + r), c the voltage across the branch's ends for 1 A through the points. */
function withOne(
  from: Columns,
  a: number,
  b: number,
  branch: Branch,
  currents: Float64Array,
  place: number,
): Solution {
  const ca = from.column(a);
  const cb = from.column(b);
  const open = difference(ca, branch) - difference(cb, branch);
  const loop = resistanceIn(from, branch.a, branch.b) + branch.ohms;
  const current = open / loop;
  currents[place] = current;
  return { ohms: Math.max(0, resistanceIn(from, a, b) - open * current), currents };
}

function solveMany(
  from: Columns,
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
    const cu = from.column(branch.a);
    const cv = from.column(branch.b);
    for (let c = 0; c < k; c++) {
      const other = added[used[c] as number] as Branch;
      m[r * width + c] = difference(cu, other) - difference(cv, other);
    }
    m[r * width + r]! += branch.ohms;
    const ua = unknown.get(from.island[branch.a] as number);
    const ub = unknown.get(from.island[branch.b] as number);
    if (ua !== ub) {
      if (ua !== undefined) setBoth(m, width, r, ua, -1);
      if (ub !== undefined) setBoth(m, width, r, ub, 1);
    }
    m[r * width + size] =
      (cu[a] as number) - (cu[b] as number) - ((cv[a] as number) - (cv[b] as number));
  }
  const ia = unknown.get(from.island[a] as number);
  const ib = unknown.get(from.island[b] as number);
  if (ia !== ib) {
    if (ia !== undefined) m[ia * width + size]! -= 1;
    if (ib !== undefined) m[ib * width + size]! += 1;
  }
  eliminate(m, size, width);
  // Where a and b share no island, the island offsets carry the whole reading.
  let ohms = ownOhms(from, a, b);
  for (let r = 0; r < k; r++) {
    const branch = added[used[r] as number] as Branch;
    const i = m[r * width + size] as number;
    currents[used[r] as number] = i;
    const ca = from.column(branch.a);
    const cb = from.column(branch.b);
    ohms -= i * ((ca[a] as number) - (ca[b] as number) - (cb[a] as number) + (cb[b] as number));
  }
  if (ia !== undefined) ohms += m[ia * width + size] as number;
  if (ib !== undefined) ohms -= m[ib * width + size] as number;
  const lifted = new Map<number, number>();
  for (const [island, place] of unknown) lifted.set(island, m[place * width + size] as number);
  return { ohms: Math.max(0, ohms), currents, lifted };
}

function ownOhms(from: Columns, a: number, b: number): number {
  if (from.island[a] === from.island[b]) return resistanceIn(from, a, b);
  return (from.column(a)[a] as number) + (from.column(b)[b] as number);
}

function difference(column: ArrayLike<number>, branch: Branch): number {
  return (column[branch.a] as number) - (column[branch.b] as number);
}

function setBoth(m: Float64Array, width: number, r: number, c: number, value: number): void {
  m[r * width + c] = value;
  m[c * width + r] = value;
}

/** Islands reachable from `a`'s through the added branches, its own first. */
export function joinedIslands(
  island: ArrayLike<number>,
  a: number,
  added: readonly Branch[],
): Set<number> {
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
