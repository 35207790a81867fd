import type { Factor } from './ldl.ts';

/** y = L⁻¹·e for one row, where it is not 0: on the rows that wait for that one, directly or not. */
export interface HalfColumn {
  /** When these rows are eliminated, ascending. */
  readonly places: Int32Array;
  readonly values: Float64Array;
}

/**
 * The first half of a solve for a single row.
 * @param clean length n, all 0; left so
 * @remarks O(entries of the columns on the way up the elimination tree).
 */
export function halfSolve(factor: Factor, row: number, clean: Float64Array): HalfColumn {
  const { place, starts, rows, shares } = factor;
  const way: number[] = [];
  for (let k = place[row] as number; k >= 0; ) {
    way.push(k);
    const first = starts[k] as number;
    k = first < (starts[k + 1] as number) ? (rows[first] as number) : -1;
  }
  const x = clean;
  x[place[row] as number] = 1;
  for (const k of way) {
    for (let p = starts[k] as number; p < (starts[k + 1] as number); p++) {
      x[rows[p] as number]! += (shares[p] as number) * (x[k] as number);
    }
  }
  const places = Int32Array.from(way);
  const values = Float64Array.from(way, (k) => x[k] as number);
  for (const k of way) x[k] = 0;
  return { places, values };
}

/** e_uᵀ·A⁻¹·e_v = Σ y_u·y_v / d, a sum of nothing below 0. */
export function product({ d }: Factor, one: HalfColumn, other: HalfColumn): number {
  let sum = 0;
  let i = one.places.length - 1;
  let j = other.places.length - 1;
  // Two ways up the tree have their end in common: what they share comes last in both.
  while (i >= 0 && j >= 0 && one.places[i] === other.places[j]) {
    const k = one.places[i] as number;
    sum += ((one.values[i] as number) * (other.values[j] as number)) / (d[k] as number);
    i--;
    j--;
  }
  return sum;
}
