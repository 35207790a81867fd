import type { CopperSide, Ways } from './side.ts';
import { emptySketch, mirror, type WayReadings } from './side-readings.ts';
import type { SideSketch } from './sketch.ts';

/** The same as `sketchSide` for four-wire readings on a tree and one short, in a few operations a pair. */
export class TreeReadings implements WayReadings {
  readonly #side: CopperSide;
  readonly #pins: readonly number[];
  readonly #ways: readonly Ways[];
  /** Row-major, the lower half: variance of the way between two readings' pins, Ω². */
  readonly #copper: Float64Array;
  readonly #links: Float64Array | undefined;

  constructor(side: CopperSide, pins: readonly number[]) {
    this.#side = side;
    this.#pins = pins;
    this.#ways = pins.map((pin) => side.ways(pin));
    const nodes = pins.map((pin) => side.nodeOf(pin) as number);
    const between = (of: 'copper' | 'links'): Float64Array => {
      const all = new Float64Array(pins.length ** 2);
      this.#ways.forEach((ways, n) => {
        for (let m = 0; m <= n; m++) {
          all[n * pins.length + m] = ways[of][nodes[m] as number] as number;
        }
      });
      return all;
    };
    this.#copper = between('copper');
    this.#links = side.hasLinks ? between('links') : undefined;
  }

  get layoutCount(): number {
    return this.#side.layoutCount;
  }

  get hasLinks(): boolean {
    return this.#links !== undefined;
  }

  reaches(short: number): boolean {
    return this.#pins.every((pin) => this.#side.joins(pin, short));
  }

  /**
   * Readings share the way from their short on: half of the sum of both ways' variances less that of the
   * way between the pins.
   */
  add(sum: SideSketch, short: number, share: number, whole: Float64Array): void {
    const end = this.#side.nodeOf(short) as number;
    const count = this.#pins.length;
    const last = this.layoutCount - 1;
    for (let n = 0; n < count; n++) {
      const { ohms } = this.#ways[n] as Ways;
      for (let k = 0; k < last; k++) {
        const own = (ohms[k] as Float64Array)[end] as number;
        (sum.parts[k] as Float64Array)[n]! += share * own;
        whole[n]! += own;
      }
      if (this.#links === undefined) continue;
      (sum.parts[last] as Float64Array)[n]! +=
        share * ((ohms[last] as Float64Array)[end] as number);
    }
    this.#addShared(sum.copper, this.#copper, 'copper', end, share);
    if (this.#links !== undefined) this.#addShared(sum.links, this.#links, 'links', end, share);
  }

  #addShared(
    sum: Float64Array,
    between: Float64Array,
    of: 'copper' | 'links',
    end: number,
    share: number,
  ): void {
    const count = this.#pins.length;
    const half = share / 2;
    for (let n = 0; n < count; n++) {
      const one = (this.#ways[n] as Ways)[of][end] as number;
      for (let m = 0; m <= n; m++) {
        const other = (this.#ways[m] as Ways)[of][end] as number;
        const at = n * count + m;
        sum[at]! += half * (one + other - (between[at] as number));
      }
    }
  }

  sketch(short: number): SideSketch {
    const count = this.#pins.length;
    const sketch = emptySketch(this, count);
    this.add(sketch, short, 1, new Float64Array(count));
    mirror(sketch.copper, count);
    if (this.hasLinks) mirror(sketch.links, count);
    return sketch;
  }
}
