import type { CopperForm, SideForm } from '../../circuit/copper/copper-map.ts';
import { type Crossing, flowOf } from '../../circuit/copper/copper-path.ts';
import type { SideReadings } from '../../circuit/copper/side-readings.ts';
import { type Sensing, type SideSketch, sketchSide } from '../../circuit/copper/sketch.ts';
import { spacedOut } from '../../circuit/copper/spaced-out.ts';
import { zeros } from '../../circuit/copper/zeros.ts';
import { anyCase } from './any-case.ts';
import type { CopperReading } from './copper-readings.ts';
import type { Place } from './place.ts';
import { PlainReadings } from './plain-readings.ts';
import type { Short } from './short.ts';
import type { CopperCase } from './weigh-case.ts';

/** Where a case is slow to work out, so many of alike ways stand for all of them. */
const SOME_WAYS = 8;

/** What readings would be in each case; the sides of single shorts are worked out once. */
export class CopperCases {
  readonly #plain = new Map<string, PlainReadings>();
  readonly #sketches = new Map<string, SideSketch>();

  /**
   * What readings would be with shorts of given ohms; of a single one the ohms are left out. With several,
   * the share is what all of them together add: as much as their ohms say.
   */
  caseOf(
    form: CopperForm,
    shorts: readonly Short[],
    places: readonly Place[],
    ohms: readonly number[],
    readings: readonly CopperReading[],
  ): CopperCase | undefined {
    const { members } = form;
    const isPlain = readings.every(({ drive, sense }) => drive === sense);
    if (shorts.length === 1 && isPlain && readings.every(({ state }) => shorts[0]?.actsIn(state))) {
      const sides = this.#plainOf(readings).sidesIn(form);
      if (sides !== undefined) return plainCase(sides, places[0] as Place, readings.length);
    }
    if (members !== undefined) {
      const some = spacedOut(members, SOME_WAYS);
      const cases = some.flatMap((way) => this.caseOf(way, shorts, places, ohms, readings) ?? []);
      return cases.length === 0 ? undefined : anyCase(cases);
    }
    const acting = readings.map(({ state }) =>
      shorts.flatMap((short, k): Crossing[] =>
        short.actsIn(state) ? [{ pins: places[k] as Place, ohms: ohms[k] as number }] : [],
      ),
    );
    if (shorts.length === 1) return this.#singleCase(form, acting, readings);
    const sensings = sensingsOf(form, acting, readings);
    if (sensings === undefined) return undefined;
    const share = Float64Array.from(sensings, ({ drive, sense }, n) =>
      (acting[n] as Crossing[]).reduce((sum, crossing, k) => {
        const power = (drive.crossings[k] as number) * (sense.crossings[k] as number);
        return sum + power * crossing.ohms;
      }, 0),
    );
    return joined(sketchSide(sensings, 0), sketchSide(sensings, 1), share);
  }

  #plainOf(readings: readonly CopperReading[]): PlainReadings {
    const key = readings.map(({ id, drive }) => `${id} ${drive.red} ${drive.black}`).join(',');
    let plain = this.#plain.get(key);
    if (plain === undefined) {
      plain = new PlainReadings(readings);
      this.#plain.set(key, plain);
    }
    return plain;
  }

  /** With one short the sides have nothing to do with each other, nor with its ohms. */
  #singleCase(
    form: CopperForm,
    acting: readonly (readonly Crossing[])[],
    readings: readonly CopperReading[],
  ): CopperCase | undefined {
    const sensings = sensingsOf(form, acting, readings);
    if (sensings === undefined) return undefined;
    const ids = readings.map(({ id }) => id).join(',');
    const side = (k: 0 | 1, { name }: SideForm): SideSketch => {
      const key = `${k} ${name} ${acting.map(([crossing]) => crossing?.pins[k]).join(' ')} ${ids}`;
      const held = this.#sketches.get(key) ?? sketchSide(sensings, k);
      this.#sketches.set(key, held);
      return held;
    };
    const share = Float64Array.from(sensings, ({ drive, sense }) => {
      return (drive.crossings[0] ?? 0) * (sense.crossings[0] ?? 0);
    });
    return joined(side(0, form.first), side(1, form.second), share);
  }
}

/** Of a four-wire reading the short shows whole. */
function plainCase(
  [one, other]: readonly [SideReadings, SideReadings],
  [near, far]: Place,
  readings: number,
): CopperCase | undefined {
  if (!one.reaches(near) || !other.reaches(far)) return undefined;
  return joined(one.sketch(near), other.sketch(far), new Float64Array(readings).fill(1));
}

function joined(one: SideSketch, two: SideSketch, share: Float64Array): CopperCase {
  const sum = (x: Float64Array, y: Float64Array): Float64Array => {
    const nothing = zeros(x.length);
    if (x === nothing) return y;
    if (y === nothing) return x;
    const both = new Float64Array(x.length);
    for (let k = 0; k < both.length; k++) both[k] = (x[k] as number) + (y[k] as number);
    return both;
  };
  return {
    layouts: [...one.parts.slice(0, -1), ...two.parts.slice(0, -1)],
    copper: sum(one.copper, two.copper),
    linkOhms: sum(one.parts.at(-1) as Float64Array, two.parts.at(-1) as Float64Array),
    links: sum(one.links, two.links),
    share,
  };
}

/** Where the currents go; undefined where some reading finds no way. */
function sensingsOf(
  { first, second }: CopperForm,
  acting: readonly (readonly Crossing[])[],
  readings: readonly CopperReading[],
): Sensing[] | undefined {
  const found: Sensing[] = [];
  for (const [n, { state, drive, sense }] of readings.entries()) {
    const sides = [first.under(state), second.under(state)] as const;
    const crossings = acting[n] as readonly Crossing[];
    const flow = flowOf(sides, crossings, drive);
    const other = sense === drive ? flow : flowOf(sides, crossings, sense);
    if (flow === undefined || other === undefined) return undefined;
    found.push({ drive: flow, sense: other, sides });
  }
  return found;
}
