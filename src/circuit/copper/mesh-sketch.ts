import type { CopperSide } from './side.ts';
import { emptySketch, type WayReadings } from './side-readings.ts';
import { LEAST_SQUARE_AMPS, type SideSketch } from './sketch.ts';

/**
 * The same as `sketchSide` for four-wire readings on any side and one short: one current a reading, from its
 * pin to the short's. What was worked out for a pin is kept, as many ways of the other side go with it.
 */
export class MeshReadings implements WayReadings {
  readonly #side: CopperSide;
  readonly #pins: readonly number[];
  readonly #known = new Map<number, SideSketch>();
  readonly #scratch: Scratch;

  constructor(side: CopperSide, pins: readonly number[]) {
    this.#side = side;
    this.#pins = pins;
    const all = side.stretches.length;
    this.#scratch = {
      at: new Int32Array(all * pins.length),
      values: new Float64Array(all * pins.length),
      ends: new Int32Array(pins.length),
      dense: new Float64Array(all),
    };
  }

  get layoutCount(): number {
    return this.#side.layoutCount;
  }

  reaches(short: number): boolean {
    return this.#pins.every((pin) => this.#side.joins(pin, short));
  }

  add(sum: SideSketch, short: number, share: number, whole: Float64Array): void {
    const { parts, copper, links } = this.sketch(short);
    parts.forEach((part, k) => {
      addTo(sum.parts[k] as Float64Array, part, share);
      if (k < parts.length - 1) addTo(whole, part, 1);
    });
    addTo(sum.copper, copper, share);
    addTo(sum.links, links, share);
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
    const { layoutCount, layoutOf } = this.#side;
    const { ohms, spread } = this.#side.flat;
    const count = this.#pins.length;
    const all = ohms.length;
    const sketch = emptySketch(layoutCount, count);
    const { at, values, ends, dense } = this.#scratch;
    const end = this.#side.ampsFrom(short);
    this.#pins.forEach((pin, n) => {
      const start = this.#side.ampsFrom(pin);
      let free = n * all;
      for (let k = 0; k < all; k++) {
        const amps = (start[k] as number) - (end[k] as number);
        const square = amps * amps;
        if (square === 0) continue;
        const own = (ohms[k] as number) * square;
        (sketch.parts[layoutOf[k] as number] as Float64Array)[n]! += own;
        if (square < LEAST_SQUARE_AMPS) continue;
        at[free] = k;
        values[free++] = own * (spread[k] as number);
      }
      ends[n] = free;
    });
    for (let n = 0; n < count; n++) {
      for (let x = n * all; x < (ends[n] as number); x++) {
        dense[at[x] as number] = values[x] as number;
      }
      for (let m = 0; m <= n; m++) this.#share(sketch, n, m);
      for (let x = n * all; x < (ends[n] as number); x++) dense[at[x] as number] = 0;
    }
    return sketch;
  }

  /** What one reading, spread out, has in common with an earlier one. */
  #share({ copper, links }: SideSketch, n: number, m: number): void {
    const { layoutCount, layoutOf, hasLinks } = this.#side;
    const { at, values, ends, dense } = this.#scratch;
    const count = this.#pins.length;
    const last = ends[m] as number;
    let [shared, linked] = [0, 0];
    for (let x = m * dense.length; x < last; x++) {
      const k = at[x] as number;
      const product = (dense[k] as number) * (values[x] as number);
      if (hasLinks && layoutOf[k] === layoutCount - 1) linked += product;
      else shared += product;
    }
    copper[n * count + m] = shared;
    copper[m * count + n] = shared;
    links[n * count + m] = linked;
    links[m * count + n] = linked;
  }
}

/** Stretches that carry enough of a reading's current to count, one reading after the other. */
interface Scratch {
  readonly at: Int32Array;
  /** What each may be off by, Ω. */
  readonly values: Float64Array;
  /** By reading: where its own end. */
  readonly ends: Int32Array;
  /** One reading spread out: by stretch. */
  readonly dense: Float64Array;
}

function addTo(sum: Float64Array, values: Float64Array, share: number): void {
  for (let k = 0; k < sum.length; k++) sum[k]! += share * (values[k] as number);
}
