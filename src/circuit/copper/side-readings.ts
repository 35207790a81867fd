import type { SideSketch } from './sketch.ts';
import { zeros } from './zeros.ts';

/** Four-wire readings with one point on a side, ready to be asked about one short at any of its pins. */
export interface SideReadings {
  /** Of the side, links last. */
  readonly layoutCount: number;
  readonly hasLinks: boolean;
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

/** To be added to; without links theirs are zeros that stay so. */
export function emptySketch(
  { layoutCount, hasLinks }: Pick<SideReadings, 'layoutCount' | 'hasLinks'>,
  readings: number,
): SideSketch {
  const parts: Float64Array[] = [];
  for (let k = 1; k < layoutCount; k++) parts.push(new Float64Array(readings));
  const make = (length: number): Float64Array =>
    hasLinks ? new Float64Array(length) : zeros(length);
  parts.push(make(readings));
  return { parts, copper: new Float64Array(readings ** 2), links: make(readings ** 2) };
}

/** Fills the upper half of a symmetric matrix from the lower. */
export function mirror(matrix: Float64Array, n: number): void {
  for (let r = 0; r < n; r++) {
    for (let c = 0; c < r; c++) matrix[c * n + r] = matrix[r * n + c] as number;
  }
}
