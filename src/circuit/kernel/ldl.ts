import { minimumDegreeOrder } from './ordering.ts';

/** Conductances between rows, and from rows to the node that was taken for zero; all above zero. */
export interface Conductances {
  readonly count: number;
  /** Length n: S from each row to the zero node; 0 where there is none. */
  readonly toZero: Float64Array;
  /** Flat pairs of rows; each unordered pair at most once. */
  readonly pairs: readonly number[];
  /** S, one per pair. */
  readonly siemens: ArrayLike<number>;
}

/** P·A·Pᵀ = L·D·Lᵀ of the nodal matrix A, L unit lower triangular by columns, with −L stored. */
export interface Factor {
  readonly count: number;
  /** Length n: row eliminated k-th. */
  readonly order: Int32Array;
  /** Length n: when each row is eliminated. */
  readonly place: Int32Array;
  /** Length n+1: start of each column of L. */
  readonly starts: Int32Array;
  /** Ascending in each column. */
  readonly rows: Int32Array;
  /** Shares, 0 to 1: what a node passes on to each node eliminated after it. */
  readonly shares: Float64Array;
  /** Length n. */
  readonly d: Float64Array;
}

/** Order and pattern of a factor; the same for all conductances on the same pairs. */
export interface Plan {
  readonly count: number;
  readonly order: Int32Array;
  readonly place: Int32Array;
  readonly starts: Int32Array;
  readonly rows: Int32Array;
  readonly lower: Lower;
}

/** Where the conductances between rows stand: with the one of the two that is eliminated first. */
interface Lower {
  readonly starts: Int32Array;
  readonly rows: Int32Array;
  /** By pair: its place among `rows`. */
  readonly slots: Int32Array;
}

/**
 * Orders the rows and works out which entries the factor will have.
 * @param order length n: row to be eliminated k-th; default: one that fills in little
 */
export function planFactor(
  count: number,
  pairs: readonly number[],
  order: Int32Array = minimumDegreeOrder(count, pairs),
): Plan {
  const place = new Int32Array(count);
  for (let k = 0; k < count; k++) place[order[k] as number] = k;
  const lower = lowerColumns(count, pairs, place);
  return { count, order, place, lower, ...fillPattern(count, lower) };
}

/**
 * Factors the nodal matrix of a resistor network without a single subtraction: a pivot is the sum
 * of the conductances still leaving its node, not a diagonal from which the others were taken. So
 * entries keep their relative accuracy whatever the spread of values, and a milliohm link beside a
 * path of 10¹² Ω costs neither.
 * @param plan of the same pairs
 * @throws {RangeError} when a row has no way to the zero node
 * @remarks Grassmann, Taksar & Heyman 1985 (elimination without subtraction); left-looking by
 * columns after Davis 2006, “Direct Methods for Sparse Linear Systems”, ch. 4. O(flops of L).
 */
export function factorize(
  given: Conductances,
  plan: Plan = planFactor(given.count, given.pairs),
): Factor {
  const { count, order, place, starts, rows } = plan;
  return { count, order, place, starts, rows, ...eliminate(given, plan) };
}

/** Sorts the pairs by the row of each that goes first. */
function lowerColumns(count: number, pairs: readonly number[], place: Int32Array): Lower {
  const size = pairs.length / 2;
  const starts = new Int32Array(count + 1);
  const first = (k: number): number =>
    Math.min(place[pairs[2 * k] as number] as number, place[pairs[2 * k + 1] as number] as number);
  for (let k = 0; k < size; k++) starts[first(k) + 1]!++;
  for (let k = 0; k < count; k++) starts[k + 1]! += starts[k] as number;
  const next = starts.slice(0, count);
  const rows = new Int32Array(size);
  const slots = new Int32Array(size);
  for (let k = 0; k < size; k++) {
    const a = place[pairs[2 * k] as number] as number;
    const b = place[pairs[2 * k + 1] as number] as number;
    const slot = next[Math.min(a, b)]!++;
    rows[slot] = Math.max(a, b);
    slots[k] = slot;
  }
  return { starts, rows, slots };
}

/** Pattern of L: a column takes over the pattern of the columns that reach it first. */
function fillPattern(count: number, lower: Lower): { starts: Int32Array; rows: Int32Array } {
  const starts = new Int32Array(count + 1);
  let rows = new Int32Array(2 * lower.rows.length);
  // By column: the first of those that reach it first, and the next one after a column; −1: none.
  const child = new Int32Array(count).fill(-1);
  const sibling = new Int32Array(count).fill(-1);
  const mark = new Int32Array(count).fill(-1);
  let end = 0;
  for (let k = 0; k < count; k++) {
    const start = end;
    if (rows.length < end + count - k) rows = longer(rows, end + count - k);
    mark[k] = k;
    for (let p = lower.starts[k] as number; p < (lower.starts[k + 1] as number); p++) {
      const row = lower.rows[p] as number;
      if (mark[row] === k) continue;
      mark[row] = k;
      rows[end++] = row;
    }
    for (let at = child[k] as number; at >= 0; at = sibling[at] as number) {
      for (let p = starts[at] as number; p < (starts[at + 1] as number); p++) {
        const row = rows[p] as number;
        if (mark[row] === k) continue;
        mark[row] = k;
        rows[end++] = row;
      }
    }
    starts[k + 1] = end;
    if (end === start) continue;
    rows.subarray(start, end).sort();
    const parent = rows[start] as number;
    sibling[k] = child[parent] as number;
    child[parent] = k;
  }
  return { starts, rows: rows.slice(0, end) };
}

/** The same numbers with room for at least so many. */
function longer(rows: Int32Array<ArrayBuffer>, least: number): Int32Array<ArrayBuffer> {
  const more = new Int32Array(Math.max(least, 2 * rows.length));
  more.set(rows);
  return more;
}

function eliminate(
  { toZero, siemens: given }: Conductances,
  { count, order, lower, starts, rows }: Plan,
): { shares: Float64Array; d: Float64Array } {
  const own = new Float64Array(lower.rows.length);
  for (let k = 0; k < own.length; k++) own[lower.slots[k] as number] = given[k] as number;
  const siemens = new Float64Array(rows.length); // as they stand when their column goes
  const shares = new Float64Array(rows.length);
  const d = new Float64Array(count);
  const leak = new Float64Array(count);
  for (let k = 0; k < count; k++) leak[k] = toZero[order[k] as number] as number;
  const at = new Int32Array(count); // by column: its next row to be eliminated
  const head = new Int32Array(count).fill(-1); // by row: columns that wait for it, as a list
  const link = new Int32Array(count);
  const work = new Float64Array(count); // left clean after every column
  for (let k = 0; k < count; k++) {
    const from = starts[k] as number;
    const to = starts[k + 1] as number;
    for (let p = lower.starts[k] as number; p < (lower.starts[k + 1] as number); p++) {
      work[lower.rows[p] as number]! += own[p] as number;
    }
    let lost = leak[k] as number;
    for (let j = head[k] as number, next = -1; j >= 0; j = next) {
      next = link[j] as number;
      const p = at[j] as number;
      const share = shares[p] as number;
      const end = starts[j + 1] as number;
      for (let q = p + 1; q < end; q++) work[rows[q] as number]! += (siemens[q] as number) * share;
      lost += (leak[j] as number) * share;
      if (p + 1 < end) {
        const row = rows[p + 1] as number;
        at[j] = p + 1;
        link[j] = head[row] as number;
        head[row] = j;
      }
    }
    leak[k] = lost;
    let pivot = lost;
    for (let p = from; p < to; p++) pivot += work[rows[p] as number] as number;
    if (!(pivot > 0)) throw new RangeError(`row ${order[k]} has no way to the zero node`);
    d[k] = pivot;
    for (let p = from; p < to; p++) {
      const row = rows[p] as number;
      siemens[p] = work[row] as number;
      shares[p] = (work[row] as number) / pivot;
      work[row] = 0;
    }
    if (from < to) {
      const row = rows[from] as number;
      at[k] = from;
      link[k] = head[row] as number;
      head[row] = k;
    }
  }
  return { shares, d };
}

/**
 * Solves A·x = b, reusing a factor.
 * @param b length n; overwritten with x
 * @remarks O(|L|)
 */
export function solveInPlace(
  factor: Factor,
  b: Float64Array,
  x: Float64Array = new Float64Array(factor.count),
): void {
  const { count, order, starts, rows, shares, d } = factor;
  for (let k = 0; k < count; k++) x[k] = b[order[k] as number] as number;
  for (let k = 0; k < count; k++) {
    const xk = x[k] as number;
    if (xk === 0) continue; // a single right-hand side entry touches few columns
    for (let p = starts[k] as number; p < (starts[k + 1] as number); p++) {
      x[rows[p] as number]! += (shares[p] as number) * xk;
    }
  }
  for (let k = 0; k < count; k++) x[k]! /= d[k] as number;
  for (let k = count - 1; k >= 0; k--) {
    let sum = x[k] as number;
    for (let p = starts[k] as number; p < (starts[k + 1] as number); p++) {
      sum += (shares[p] as number) * (x[rows[p] as number] as number);
    }
    x[k] = sum;
  }
  for (let k = 0; k < count; k++) b[order[k] as number] = x[k] as number;
}

/**
 * x_a − x_b of A·x = e_a − e_b; −1 stands for the zero node.
 * @param clean length n, all 0; left so
 * @remarks Only rows that wait for one of the two, directly or not, have a part in it: those on the
 * way up from both in the elimination tree. O(entries of their columns).
 */
export function solveBetween(factor: Factor, a: number, b: number, clean: Float64Array): number {
  const { place, starts, rows, shares, d } = factor;
  const x = clean;
  const [ka, kb] = [a, b].map((row) => (row < 0 ? -1 : (place[row] as number))) as [number, number];
  const met = new Set<number>();
  for (const from of [ka, kb]) {
    for (let k = from; k >= 0 && !met.has(k); ) {
      met.add(k);
      const first = starts[k] as number;
      k = first < (starts[k + 1] as number) ? (rows[first] as number) : -1;
    }
  }
  const way = Int32Array.from(met).sort();
  if (ka >= 0) x[ka]! += 1;
  if (kb >= 0) x[kb]! -= 1;
  for (const k of way) {
    for (let p = starts[k] as number; p < (starts[k + 1] as number); p++) {
      x[rows[p] as number]! += (shares[p] as number) * (x[k] as number);
    }
  }
  for (let n = way.length - 1; n >= 0; n--) {
    const k = way[n] as number;
    let sum = (x[k] as number) / (d[k] as number);
    for (let p = starts[k] as number; p < (starts[k + 1] as number); p++) {
      sum += (shares[p] as number) * (x[rows[p] as number] as number);
    }
    x[k] = sum;
  }
  const between = (ka >= 0 ? (x[ka] as number) : 0) - (kb >= 0 ? (x[kb] as number) : 0);
  for (const k of way) x[k] = 0;
  return between;
}
