import { emptySketch, mirror, type SideReadings, type WayReadings } from './side-readings.ts';
import type { SideSketch } from './sketch.ts';

/**
 * The copper of a side in any one of many alike ways, taken as one Gaussian: what the ways differ by is
 * uncertainty that the readings share (law of total covariance).
 */
export class FamilyReadings implements SideReadings {
  readonly layoutCount: number;
  readonly hasLinks: boolean;
  readonly #ways: readonly WayReadings[];
  readonly #count: number;
  readonly #known = new Map<number, SideSketch>();

  /**
   * @param ways at least one
   * @param readings how many there are
   */
  constructor(ways: readonly WayReadings[], readings: number) {
    this.#ways = ways;
    this.#count = readings;
    this.layoutCount = ways[0]?.layoutCount ?? 0;
    this.hasLinks = ways[0]?.hasLinks ?? false;
  }

  reaches(short: number): boolean {
    return this.#ways.some((way) => way.reaches(short));
  }

  sketch(short: number): SideSketch {
    let sketch = this.#known.get(short);
    if (sketch === undefined) {
      sketch = this.#make(short);
      this.#known.set(short, sketch);
    }
    return sketch;
  }

  #make(short: number): SideSketch {
    const n = this.#count;
    const ways = this.#ways.filter((way) => way.reaches(short));
    const share = 1 / ways.length;
    const sum = emptySketch(this, n);
    const own = new Float64Array(n);
    const mean = new Float64Array(n);
    const between = new Float64Array(n * n);
    for (const way of ways) {
      own.fill(0);
      way.add(sum, short, share, own);
      for (let r = 0; r < n; r++) {
        mean[r]! += share * (own[r] as number);
        for (let c = 0; c <= r; c++) between[r * n + c]! += (own[r] as number) * (own[c] as number);
      }
    }
    // Ways that were not drawn differ from the mean of those that were by more than these do.
    const factor = ways.length < 2 ? 0 : (1 + share) / (ways.length - 1);
    for (let r = 0; r < n; r++) {
      for (let c = 0; c <= r; c++) {
        const product = ways.length * (mean[r] as number) * (mean[c] as number);
        sum.copper[r * n + c]! += factor * ((between[r * n + c] as number) - product);
      }
    }
    mirror(sum.copper, n);
    if (this.hasLinks) mirror(sum.links, n);
    return sum;
  }
}
