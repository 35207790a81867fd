import type { Flow } from './copper-path.ts';
import { type CopperSide, LEAST_SQUARE_AMPS } from './side.ts';

/** A reading as the copper sees it: where the current goes, and between which points the voltage is taken. */
export interface Sensing {
  readonly drive: Flow;
  /** Of 1 A between the points of the voltage; the same as `drive` in a four-wire reading. */
  readonly sense: Flow;
  /** Both sides as they were then. */
  readonly sides: readonly [CopperSide, CopperSide];
}

/** What one side adds to some readings, and how uncertain that is. */
export interface SideSketch {
  /** By layout of the side, links last: Ω by reading. */
  readonly parts: readonly Float64Array[];
  /** Row-major: covariance of the readings from stretches of copper that differ independently, Ω². */
  readonly copper: Float64Array;
  /** The same from the links. */
  readonly links: Float64Array;
}

/**
 * A reading is the sum over stretches of r·i·j, i the driven current and j that of 1 A between the
 * points of the voltage (Tellegen's theorem); its change with r is i·j as well, since both flows settle
 * where power is least. Two readings that share a stretch share its error: their covariance is the sum
 * over stretches of var(r)·(i·j)·(i·j)′. On a tree this is the variance of the way they share.
 */
export function sketchSide(sensings: readonly Sensing[], which: 0 | 1): SideSketch {
  const count = sensings.length;
  // Stretches are numbered the same whatever links are off.
  const { stretches, layoutOf, layoutCount } = (sensings[0] as Sensing).sides[which];
  const parts = Array.from({ length: layoutCount }, () => new Float64Array(count));
  const copper = new Float64Array(count * count);
  const links = new Float64Array(count * count);
  const sensed = new Float64Array(stretches.length);
  const errors = sensings.map(({ drive, sense, sides }, n): Sparse => {
    const i = sides[which].currents(drive.feeds[which]);
    const j = sense === drive ? i : sides[which].currents(sense.feeds[which]);
    j.at.forEach((k, x) => {
      sensed[k] = j.amps[x] as number;
    });
    const at: number[] = [];
    const values: number[] = [];
    i.at.forEach((k, x) => {
      const amps = (i.amps[x] as number) * (sensed[k] as number);
      if (amps === 0) return;
      const { ohms, spread } = stretches[k] as (typeof stretches)[number];
      (parts[layoutOf[k] as number] as Float64Array)[n]! += ohms * amps;
      if (Math.abs(amps) < LEAST_SQUARE_AMPS) return;
      at.push(k);
      values.push(ohms * amps * spread);
    });
    for (const k of j.at) sensed[k] = 0;
    return { at: Int32Array.from(at), values: Float64Array.from(values) };
  });
  const dense = new Float64Array(stretches.length);
  for (let n = 0; n < count; n++) {
    const one = errors[n] as Sparse;
    one.at.forEach((k, at) => {
      dense[k] = one.values[at] as number;
    });
    for (let m = 0; m <= n; m++) {
      const { at, values } = errors[m] as Sparse;
      let shared = 0;
      let linked = 0;
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
  return { parts, copper, links };
}

interface Sparse {
  readonly at: Int32Array;
  readonly values: Float64Array;
}
