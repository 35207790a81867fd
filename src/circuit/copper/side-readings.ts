import type { SideSketch } from './sketch.ts';

/** Four-wire readings with one point on a side, ready to be asked about one short at any of its pins. */
export interface SideReadings {
  /** Of the side, links last. */
  readonly layoutCount: number;
  /** Whether copper and links lead from every reading's pin to a short's. */
  reaches(short: number): boolean;
  /** What the side adds to the readings with a short at a pin. */
  sketch(short: number): SideSketch;
}

/** The copper of a side in one way: a share of it can be added to others. */
export interface WayReadings extends SideReadings {
  /**
   * Adds the sketch of a short times a share, to the lower halves of the covariances.
   * @param whole the sum over layouts but links is added to this, without the share
   */
  add(sum: SideSketch, short: number, share: number, whole: Float64Array): void;
}

export function emptySketch(layoutCount: number, readings: number): SideSketch {
  return {
    parts: Array.from({ length: layoutCount }, () => new Float64Array(readings)),
    copper: new Float64Array(readings ** 2),
    links: new Float64Array(readings ** 2),
  };
}

/** Fills the upper half of a symmetric matrix from the lower. */
export function mirror(matrix: Float64Array, n: number): void {
  for (let r = 0; r < n; r++) {
    for (let c = 0; c < r; c++) matrix[c * n + r] = matrix[r * n + c] as number;
  }
}
