import { minimumDegreeOrder } from './ordering.ts';

/** A symmetric matrix by its entries: diagonal plus one triangle, duplicates added up. */
export interface SymmetricEntries {
  readonly count: number;
  /** Length n. */
  readonly diagonal: Float64Array;
  /** Off-diagonal pattern, flat pairs; each unordered pair at most once. */
  readonly pairs: readonly number[];
  /** One value per pair. */
  readonly values: readonly number[];
}

/** P·A·Pᵀ = L·D·Lᵀ, L unit lower triangular by columns. */
export interface Factor {
  readonly count: number;
  /** Length n: row eliminated k-th, and its inverse. */
  readonly order: Int32Array;
  readonly place: Int32Array;
  /** Length n+1: start of each column of L. */
  readonly starts: Int32Array;
  readonly rows: Int32Array;
  readonly values: Float64Array;
  /** Length n. */
  readonly d: Float64Array;
}

/**
 * Factors a symmetric positive definite matrix.
 * @throws {RangeError} when a pivot is not positive, naming the row: the caller handed a matrix
 *   that is not grounded in every island.
 * @remarks Up-looking LDLᵀ along the elimination tree; Davis 2006, “Direct Methods for Sparse
 * Linear Systems”, ch. 4. O(flops of L).
 */
export function factorize(entries: SymmetricEntries): Factor {
  const { count } = entries;
  const order = minimumDegreeOrder(count, entries.pairs);
  const place = new Int32Array(count);
  for (let k = 0; k < count; k++) place[order[k] as number] = k;
  const upper = upperColumns(entries, place);
  const { parent, starts } = symbolic(count, upper);
  return numeric(entries, order, place, upper, parent, starts);
}

interface UpperColumns {
  readonly starts: Int32Array;
  readonly rows: Int32Array;
  readonly values: Float64Array;
}

/** The strict upper triangle of P·A·Pᵀ by columns. */
function upperColumns(entries: SymmetricEntries, place: Int32Array): UpperColumns {
  const { count, pairs, values } = entries;
  const starts = new Int32Array(count + 1);
  const column = (k: number): number =>
    Math.max(place[pairs[2 * k] as number] as number, place[pairs[2 * k + 1] as number] as number);
  for (let k = 0; k < values.length; k++) starts[column(k) + 1]!++;
  for (let k = 0; k < count; k++) starts[k + 1]! += starts[k] as number;
  const next = starts.slice(0, count);
  const rows = new Int32Array(values.length);
  const out = new Float64Array(values.length);
  for (let k = 0; k < values.length; k++) {
    const a = place[pairs[2 * k] as number] as number;
    const b = place[pairs[2 * k + 1] as number] as number;
    const slot = next[Math.max(a, b)]!++;
    rows[slot] = Math.min(a, b);
    out[slot] = values[k] as number;
  }
  return { starts, rows, values: out };
}

/** Elimination tree (parent, −1 at a root) and column starts of L. */
function symbolic(count: number, upper: UpperColumns): { parent: Int32Array; starts: Int32Array } {
  const parent = new Int32Array(count).fill(-1);
  const flag = new Int32Array(count).fill(-1);
  const counts = new Int32Array(count + 1);
  for (let k = 0; k < count; k++) {
    flag[k] = k;
    for (let p = upper.starts[k] as number; p < (upper.starts[k + 1] as number); p++) {
      let i = upper.rows[p] as number;
      while (flag[i] !== k) {
        if (parent[i] === -1) parent[i] = k;
        counts[i + 1]!++;
        flag[i] = k;
        i = parent[i] as number;
      }
    }
  }
  for (let k = 0; k < count; k++) counts[k + 1]! += counts[k] as number;
  return { parent, starts: counts };
}

function numeric(
  entries: SymmetricEntries,
  order: Int32Array,
  place: Int32Array,
  upper: UpperColumns,
  parent: Int32Array,
  starts: Int32Array,
): Factor {
  const { count } = entries;
  const rows = new Int32Array(starts[count] as number);
  const values = new Float64Array(starts[count] as number);
  const d = new Float64Array(count);
  const next = starts.slice(0, count);
  const y = new Float64Array(count); // left clean after every row
  const flag = new Int32Array(count).fill(-1);
  const pattern = new Int32Array(count);
  const walk = new Int32Array(count);
  for (let k = 0; k < count; k++) {
    let top = count;
    flag[k] = k;
    for (let p = upper.starts[k] as number; p < (upper.starts[k + 1] as number); p++) {
      let i = upper.rows[p] as number;
      y[i]! += upper.values[p] as number;
      let length = 0;
      while (flag[i] !== k) {
        walk[length++] = i;
        flag[i] = k;
        i = parent[i] as number;
      }
      while (length > 0) pattern[--top] = walk[--length] as number;
    }
    let pivot = entries.diagonal[order[k] as number] as number;
    for (; top < count; top++) {
      const i = pattern[top] as number;
      const yi = y[i] as number;
      y[i] = 0;
      const end = next[i] as number;
      for (let p = starts[i] as number; p < end; p++) {
        y[rows[p] as number]! -= (values[p] as number) * yi;
      }
      const l = yi / (d[i] as number);
      pivot -= l * yi;
      rows[end] = k;
      values[end] = l;
      next[i] = end + 1;
    }
    if (!(pivot > 0)) throw new RangeError(`pivot of row ${order[k]} is ${pivot}, not positive`);
    d[k] = pivot;
  }
  return { count, order, place, starts, rows, values, d };
}

/**
 * Solves A·x = b, reusing a factor.
 * @param b length n; overwritten with x
 * @remarks O(|L|)
 */
export function solveInPlace(factor: Factor, b: Float64Array): void {
  const { count, order, starts, rows, values, d } = factor;
  const x = new Float64Array(count);
  for (let k = 0; k < count; k++) x[k] = b[order[k] as number] as number;
  for (let k = 0; k < count; k++) {
    const xk = x[k] as number;
    if (xk === 0) continue; // a single right-hand side entry touches few columns
    for (let p = starts[k] as number; p < (starts[k + 1] as number); p++) {
      x[rows[p] as number]! -= (values[p] as number) * xk;
    }
  }
  for (let k = 0; k < count; k++) x[k]! /= d[k] as number;
  for (let k = count - 1; k >= 0; k--) {
    let sum = x[k] as number;
    for (let p = starts[k] as number; p < (starts[k + 1] as number); p++) {
      sum -= (values[p] as number) * (x[rows[p] as number] as number);
    }
    x[k] = sum;
  }
  for (let k = 0; k < count; k++) b[order[k] as number] = x[k] as number;
}
