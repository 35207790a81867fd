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

  constructor(side: CopperSide, pins: readonly number[]) {
    this.#side = side;
    this.#pins = pins;
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
    const sketch = emptySketch(layoutCount, count);
    const { parts, copper, links } = sketch;
    const end = this.#side.ampsFrom(short);
    const errors = this.#pins.map((pin, n): Errors => {
      const start = this.#side.ampsFrom(pin);
      const at: number[] = [];
      const values: number[] = [];
      for (let k = 0; k < ohms.length; k++) {
        const amps = (start[k] as number) - (end[k] as number);
        if (amps === 0) continue;
        const own = (ohms[k] as number) * amps * amps;
        (parts[layoutOf[k] as number] as Float64Array)[n]! += own;
        if (amps * amps < LEAST_SQUARE_AMPS) continue;
        at.push(k);
        values.push(own * (spread[k] as number));
      }
      return { at, values };
    });
    const dense = new Float64Array(ohms.length);
    for (let n = 0; n < count; n++) {
      const one = errors[n] as Errors;
      for (let x = 0; x < one.at.length; x++) dense[one.at[x] as number] = one.values[x] as number;
      for (let m = 0; m <= n; m++) {
        const { at, values } = errors[m] as Errors;
        let [shared, linked] = [0, 0];
        for (let x = 0; x < at.length; x++) {
          const k = at[x] as number;
          const product = (dense[k] as number) * (values[x] as number);
          if (layoutOf[k] === layoutCount - 1) linked += product;
          else shared += product;
        }
        copper[n * count + m] = shared;
        copper[m * count + n] = shared;
        links[n * count + m] = linked;
        links[m * count + n] = linked;
      }
      for (const k of one.at) dense[k] = 0;
    }
    return sketch;
  }
}

/** Of one reading: stretches that carry enough of its current to count, and what each may be off by, Ω. */
interface Errors {
  readonly at: readonly number[];
  readonly values: readonly number[];
}

function addTo(sum: Float64Array, values: Float64Array, share: number): void {
  for (let k = 0; k < sum.length; k++) sum[k]! += share * (values[k] as number);
}
