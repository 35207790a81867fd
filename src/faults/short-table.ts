import type { FaultBranch } from './fault.ts';

/** The faults that join nets under a state, with their branches in circuit, laid out flat. */
export interface ShortTable {
  /** Ascending; branches of the k-th are those from `starts[k]` up to `starts[k + 1]`. */
  readonly ids: Int32Array;
  readonly starts: Int32Array;
  readonly a: Int32Array;
  readonly b: Int32Array;
  readonly ohms: Float64Array;
}

/** @param ids ascending; those without branches are left out */
export function tableOf(
  ids: Iterable<number>,
  branchesOf: (id: number) => readonly FaultBranch[],
): ShortTable {
  const found: number[] = [];
  const starts = [0];
  const a: number[] = [];
  const b: number[] = [];
  const ohms: number[] = [];
  for (const id of ids) {
    const branches = branchesOf(id);
    if (branches.length === 0) continue;
    for (const branch of branches) {
      a.push(branch.a);
      b.push(branch.b);
      ohms.push(branch.ohms);
    }
    found.push(id);
    starts.push(a.length);
  }
  return {
    ids: Int32Array.from(found),
    starts: Int32Array.from(starts),
    a: Int32Array.from(a),
    b: Int32Array.from(b),
    ohms: Float64Array.from(ohms),
  };
}

/** A table with what is told of some faults in place of what it says of them. @param apart ascending */
export function corrected(
  table: ShortTable,
  apart: readonly number[],
  told: ShortTable,
): ShortTable {
  const ids = new Int32Array(table.ids.length + told.ids.length);
  const starts = new Int32Array(ids.length + 1);
  const a = new Int32Array(table.a.length + told.a.length);
  const b = new Int32Array(a.length);
  const ohms = new Float64Array(a.length);
  let [count, end] = [0, 0];
  const copy = (from: ShortTable, first: number, last: number): void => {
    const [lo, hi] = [from.starts[first] as number, from.starts[last] as number];
    ids.set(from.ids.subarray(first, last), count);
    for (let k = first; k < last; k++) {
      starts[count + k - first + 1] = end + (from.starts[k + 1] as number) - lo;
    }
    a.set(from.a.subarray(lo, hi), end);
    b.set(from.b.subarray(lo, hi), end);
    ohms.set(from.ohms.subarray(lo, hi), end);
    count += last - first;
    end += hi - lo;
  };
  let [at, own] = [0, 0];
  for (const id of apart) {
    const next = firstFrom(table.ids, id, at);
    copy(table, at, next);
    at = table.ids[next] === id ? next + 1 : next;
    if (told.ids[own] === id) {
      copy(told, own, own + 1);
      own++;
    }
  }
  copy(table, at, table.ids.length);
  return {
    ids: ids.slice(0, count),
    starts: starts.slice(0, count + 1),
    a: a.slice(0, end),
    b: b.slice(0, end),
    ohms: ohms.slice(0, end),
  };
}

/** Place of the first of ascending numbers that is at least `least`, from a place on. */
export function firstFrom(ids: ArrayLike<number>, least: number, from = 0): number {
  let [low, high] = [from, ids.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((ids[middle] as number) < least) low = middle + 1;
    else high = middle;
  }
  return low;
}
