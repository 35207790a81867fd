import type { Pair } from './copper-path.ts';
import type { CopperSide } from './side.ts';

/** A reading with both sides as they were when it was taken. */
export interface Taken {
  readonly sides: readonly [CopperSide, CopperSide];
  readonly drive: Pair;
  readonly sense: Pair;
}

type Place = readonly [number, number];

/**
 * Readings with two shorts across, of any ohms, in a few operations each: what they take of the copper is
 * looked up once for each place. The same as `voltsIn` of the flow through both.
 */
export class TwoShorts {
  readonly #taken: readonly Taken[];
  readonly #bare: Float64Array;
  readonly #driven = new Map<string, Float64Array>();
  readonly #sensed = new Map<string, Float64Array>();

  constructor(taken: readonly Taken[]) {
    this.#taken = taken;
    this.#bare = Float64Array.from(taken, ({ sides, drive, sense }) =>
      sides.reduce((sum, side) => {
        const feed = feedOn(side, drive);
        return (
          sum +
          feedOn(side, sense).reduce((own, [at, sign]) => {
            return own + sign * feed.reduce((v, [pin, amps]) => v + amps * side.volts(pin, at), 0);
          }, 0)
        );
      }, 0),
    );
  }

  /** Ω by reading; `ohms` of the short at each place. */
  readings(places: readonly [Place, Place], ohms: readonly [number, number]): Float64Array {
    const [p, q] = places;
    const [dp, dq] = [this.#of(this.#driven, p, 'drive'), this.#of(this.#driven, q, 'drive')];
    const [sp, sq] = [this.#of(this.#sensed, p, 'sense'), this.#of(this.#sensed, q, 'sense')];
    const found = new Float64Array(this.#taken.length);
    let sides: Taken['sides'] | undefined;
    let [pp, pq, qq] = [0, 0, 0];
    for (const [n, taken] of this.#taken.entries()) {
      if (taken.sides[0] !== sides?.[0] || taken.sides[1] !== sides?.[1]) {
        sides = taken.sides;
        pp = coupling(sides, p, p);
        pq = coupling(sides, p, q);
        qq = coupling(sides, q, q);
      }
      const across = acrossOf(taken, taken.drive);
      const [d1, d2] = [dp[n] as number, dq[n] as number];
      const first =
        (d1 - d2 + across * (qq + ohms[1] - pq)) / (pp + qq - 2 * pq + ohms[0] + ohms[1]);
      const second = across - first;
      const offset = first * (ohms[0] + pp) + second * pq - d1;
      found[n] =
        (this.#bare[n] as number) -
        first * (sp[n] as number) -
        second * (sq[n] as number) +
        acrossOf(taken, taken.sense) * offset;
    }
    return found;
  }

  #of(known: Map<string, Float64Array>, place: Place, which: 'drive' | 'sense'): Float64Array {
    const key = place.join('-');
    let found = known.get(key);
    if (found === undefined) {
      found = Float64Array.from(this.#taken, (taken) => seenFrom(taken.sides, place, taken[which]));
      known.set(key, found);
    }
    return found;
  }
}

function feedOn(side: CopperSide, { red, black }: Pair): [number, number][] {
  const feed: [number, number][] = [];
  if (side.has(red)) feed.push([red, 1]);
  if (side.has(black)) feed.push([black, -1]);
  return feed;
}

/** A that go from the first side to the second. */
function acrossOf({ sides }: Taken, pair: Pair): number {
  return feedOn(sides[0], pair).reduce((sum, [, amps]) => sum + amps, 0);
}

/** V between the two pins of a place for 1 A between two points, by the copper of each side alone. */
function seenFrom(sides: Taken['sides'], [one, other]: Place, pair: Pair): number {
  let volts = 0;
  for (const [pin, amps] of feedOn(sides[0], pair)) volts += amps * sides[0].volts(pin, one);
  for (const [pin, amps] of feedOn(sides[1], pair)) volts -= amps * sides[1].volts(pin, other);
  return volts;
}

function coupling(sides: Taken['sides'], one: Place, other: Place): number {
  return sides[0].volts(one[0], other[0]) + sides[1].volts(one[1], other[1]);
}
