/** Four-wire readings with one point on a side, ready to be asked about one short at any of its pins. */
export interface SideReadings {
  /** Of the side, links last. */
  readonly layoutCount: number;
  /** Whether copper and links lead from every reading's pin to a short's. */
  reaches(short: number): boolean;
  /**
   * Adds what the side adds to the readings with a short at a pin, times a share.
   * @param from which of the sums' layouts is the side's first
   * @param whole the sum over layouts is added to this, without the share
   */
  add(sums: SideSums, short: number, share: number, from: number, whole: Float64Array): void;
}

/** Readings with a short, summed over ways the copper may go. */
export interface SideSums {
  /** By layout of the first side, then of the second, without links: Ω by reading. */
  readonly layouts: readonly Float64Array[];
  readonly linkOhms: Float64Array;
  /** Row-major, the lower half: covariance of the readings from copper, and from links, Ω². */
  readonly copper: Float64Array;
  readonly links: Float64Array;
}

/** Fills the upper half of a symmetric matrix from the lower. */
export function mirror(matrix: Float64Array, n: number): void {
  for (let r = 0; r < n; r++) {
    for (let c = 0; c < r; c++) matrix[c * n + r] = matrix[r * n + c] as number;
  }
}
