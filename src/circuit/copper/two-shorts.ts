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
  /** By reading: A of its two points that go from the first side to the second. */
  readonly #across: Float64Array;
  readonly #sensedAcross: Float64Array;
  readonly #driven = new Map<number, Float64Array>();
  readonly #sensed = new Map<number, Float64Array>();
  readonly #own = new Map<number, Float64Array>();

  constructor(taken: readonly Taken[]) {
    this.#taken = taken;
    this.#across = Float64Array.from(taken, (one) => acrossOf(one, one.drive));
    this.#sensedAcross = Float64Array.from(taken, (one) => acrossOf(one, one.sense));
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
    return this.between(...places)(...ohms);
  }

  /** The same for shorts of any ohms at two places; the next call writes over what one gives. */
  between(p: Place, q: Place): (one: number, other: number) => Float64Array {
    const dp = this.#of(this.#driven, p, 'drive');
    const dq = this.#of(this.#driven, q, 'drive');
    const sp = this.#of(this.#sensed, p, 'sense');
    const sq = this.#of(this.#sensed, q, 'sense');
    const pp = kept(this.#own, p, () => this.#couplings(p, p));
    const qq = kept(this.#own, q, () => this.#couplings(q, q));
    const pq = this.#couplings(p, q);
    const found = new Float64Array(this.#taken.length);
    return (one, other) => {
      for (let n = 0; n < found.length; n++) {
        const own = pp[n] as number;
        const both = pq[n] as number;
        const theirs = qq[n] as number;
        const across = this.#across[n] as number;
        const d1 = dp[n] as number;
        const d2 = dq[n] as number;
        const first =
          (d1 - d2 + across * (theirs + other - both)) / (own + theirs - 2 * both + one + other);
        const second = across - first;
        const offset = first * (one + own) + second * both - d1;
        found[n] =
          (this.#bare[n] as number) -
          first * (sp[n] as number) -
          second * (sq[n] as number) +
          (this.#sensedAcross[n] as number) * offset;
      }
      return found;
    };
  }

  /** By reading: V at one place for 1 A through another, by the copper alone. */
  #couplings(one: Place, other: Place): Float64Array {
    const found = new Float64Array(this.#taken.length);
    let sides: Taken['sides'] | undefined;
    let volts = 0;
    this.#taken.forEach((taken, n) => {
      if (taken.sides[0] !== sides?.[0] || taken.sides[1] !== sides?.[1]) {
        sides = taken.sides;
        volts = coupling(sides, one, other);
      }
      found[n] = volts;
    });
    return found;
  }

  #of(known: Map<number, Float64Array>, place: Place, which: 'drive' | 'sense'): Float64Array {
    return kept(known, place, () =>
      Float64Array.from(this.#taken, (taken) => seenFrom(taken.sides, place, taken[which])),
    );
  }
}

/** More pins than a board has. */
const MOST_PINS = 2 ** 26;

function kept(
  known: Map<number, Float64Array>,
  [one, other]: Place,
  make: () => Float64Array,
): Float64Array {
  const key = one * MOST_PINS + other;
  let found = known.get(key);
  if (found === undefined) {
    found = make();
    known.set(key, found);
  }
  return found;
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
