import type { Pair } from './copper-path.ts';
import type { CopperSide } from './side.ts';
import type { SideSketch } from './sketch.ts';

/** The same as `sketchSide` for four-wire readings on a tree and one short, in a few operations a pair. */

/**
 * The pins that readings have on a side that is a tree; undefined where that will not do: loops, or readings
 * with both points on it or none.
 */
export function treePins(side: CopperSide, pairs: readonly Pair[]): number[] | undefined {
  if (!side.isTree) return undefined;
  const pins: number[] = [];
  for (const { red, black } of pairs) {
    if (side.has(red) === side.has(black)) return undefined;
    pins.push(side.has(red) ? red : black);
  }
  return pins;
}

/**
 * Readings share the way from their short on: half of the sum of both ways' variances less that of the
 * way between the pins.
 */
export function sketchTree(side: CopperSide, pins: readonly number[], short: number): SideSketch {
  const count = pins.length;
  const ways = pins.map((pin) => side.ways(pin));
  const own = (pin: number): number => side.nodeOf(pin) as number;
  const end = own(short);
  const nodes = pins.map(own);
  const parts = Array.from({ length: side.layoutCount }, (_, layout) =>
    Float64Array.from(ways, ({ ohms }) => (ohms[layout] as Float64Array)[end] as number),
  );
  const shared = (of: 'copper' | 'links'): Float64Array => {
    const all = new Float64Array(count * count);
    for (let n = 0; n < count; n++) {
      const one = (ways[n] as (typeof ways)[number])[of];
      for (let m = 0; m <= n; m++) {
        const other = (ways[m] as (typeof ways)[number])[of];
        const whole = (one[end] as number) + (other[end] as number);
        const value = (whole - (one[nodes[m] as number] as number)) / 2;
        all[n * count + m] = value;
        all[m * count + n] = value;
      }
    }
    return all;
  };
  return { parts, copper: shared('copper'), links: shared('links') };
}
