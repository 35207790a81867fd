import { type CopperSide, LEAST_SQUARE_AMPS } from './side.ts';
import { emptySketch, type WayReadings } from './side-readings.ts';
import type { SideSketch } from './sketch.ts';

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
      isSeen: new Uint8Array(all),
    };
  }

  get layoutCount(): number {
    return this.#side.layoutCount;
  }

  get hasLinks(): boolean {
    return this.#side.hasLinks;
  }

  reaches(short: number): boolean {
    return this.#pins.every((pin) => this.#side.joins(pin, short));
  }

  add(sum: SideSketch, short: number, share: number, whole: Float64Array): void {
    const { parts, copper, links } = this.sketch(short);
    const last = parts.length - 1;
    for (let k = 0; k < last; k++) {
      addTo(sum.parts[k] as Float64Array, parts[k] as Float64Array, share);
      addTo(whole, parts[k] as Float64Array, 1);
    }
    addTo(sum.copper, copper, share);
    if (!this.hasLinks) return;
    addTo(sum.parts[last] as Float64Array, parts[last] as Float64Array, share);
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
    const { layoutCount, hasLinks } = this.#side;
    const count = this.#pins.length;
    const sketch = emptySketch(this, count);
    if (hasLinks || layoutCount > 2) this.#addParts(sketch, short);
    else {
      const ohms = sketch.parts[0] as Float64Array;
      this.#pins.forEach((pin, n) => {
        ohms[n] = this.#side.ohms(pin, short);
      });
    }
    const { dense } = this.#scratch;
    this.#spreadOut(short);
    const { at, values, ends } = this.#scratch;
    for (let n = 0; n < count; n++) {
      const start = n * dense.length;
      const end = ends[n] as number;
      for (let x = start; x < end; x++) dense[at[x] as number] = values[x] as number;
      for (let m = 0; m <= n; m++) this.#share(sketch, n, m);
      for (let x = start; x < end; x++) dense[at[x] as number] = 0;
    }
    return sketch;
  }

  /** What each layout adds to the readings, where there are several or links. */
  #addParts({ parts }: SideSketch, short: number): void {
    const { layoutOf } = this.#side;
    const { ohms } = this.#side.flat;
    const end = this.#side.ampsFrom(short);
    this.#pins.forEach((pin, n) => {
      const start = this.#side.ampsFrom(pin);
      for (let k = 0; k < end.length; k++) {
        const amps = (start[k] as number) - (end[k] as number);
        (parts[layoutOf[k] as number] as Float64Array)[n]! += (ohms[k] as number) * amps * amps;
      }
    });
  }

  /** By reading: the stretches that carry enough of its current to count, and what each may be off by. */
  #spreadOut(short: number): void {
    const { ohms, spread } = this.#side.flat;
    const { at, values, ends, dense, isSeen } = this.#scratch;
    const end = this.#side.ampsFrom(short);
    const nearEnd = this.#side.near(short);
    this.#pins.forEach((pin, n) => {
      const start = this.#side.ampsFrom(pin);
      const nearStart = this.#side.near(pin);
      let free = n * dense.length;
      const both = nearStart.length + nearEnd.length;
      for (let x = 0; x < both; x++) {
        const isStart = x < nearStart.length;
        const k = (isStart ? nearStart[x] : nearEnd[x - nearStart.length]) as number;
        if (isStart) isSeen[k] = 1;
        else if (isSeen[k] === 1) continue;
        const amps = (start[k] as number) - (end[k] as number);
        const square = amps * amps;
        if (square < LEAST_SQUARE_AMPS) continue;
        at[free] = k;
        values[free++] = (ohms[k] as number) * square * (spread[k] as number);
      }
      for (let x = 0; x < nearStart.length; x++) isSeen[nearStart[x] as number] = 0;
      ends[n] = free;
    });
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
    if (!hasLinks) return;
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
  /** By stretch. */
  readonly isSeen: Uint8Array;
}

function addTo(sum: Float64Array, values: Float64Array, share: number): void {
  for (let k = 0; k < sum.length; k++) sum[k]! += share * (values[k] as number);
}
