import type { CopperForm, SideForm } from '../../circuit/copper/copper-map.ts';
import { type Crossing, flowOf, type Pair } from '../../circuit/copper/copper-path.ts';
import { type Sensing, type SideSketch, sketchSide } from '../../circuit/copper/sketch.ts';
import { spacedOut } from '../../circuit/copper/spaced-out.ts';
import { TreeReadings, treePins } from '../../circuit/copper/tree-sketch.ts';
import type { BoardState } from '../../circuit/state.ts';
import { anyCase } from './any-case.ts';
import { anyTreeCase, type TreeWay } from './any-tree-case.ts';
import type { CopperReading } from './copper-readings.ts';
import type { Place } from './place.ts';
import type { Short } from './short.ts';
import type { CopperCase } from './weigh-case.ts';

/** Where a case is slow to work out, so many of alike ways stand for all of them. */
const SOME_WAYS = 8;

/** What readings would be in each case; the sides of single shorts are worked out once. */
export class CopperCases {
  readonly #plain = new Map<string, PlainReadings | undefined>();
  readonly #sketches = new Map<string, SideSketch>();

  /**
   * What readings would be with shorts of given ohms; of a single one the ohms are left out. With several,
   * the share is what all of them together add: as much as their ohms say.
   * @param mostWays of the alike ways of a form, as many as are gone through
   */
  caseOf(
    form: CopperForm,
    shorts: readonly Short[],
    places: readonly Place[],
    ohms: readonly number[],
    readings: readonly CopperReading[],
    mostWays: number = Number.POSITIVE_INFINITY,
  ): CopperCase | undefined {
    const { members } = form;
    const isQuick = shorts.length === 1 && readings.every(({ drive, sense }) => drive === sense);
    const most = isQuick ? mostWays : Math.min(SOME_WAYS, mostWays);
    if (isQuick) {
      const [short] = shorts as readonly [Short];
      const ways = this.#plainOf(short, readings)?.treesOf(form, most);
      if (ways !== undefined) return anyTreeCase(ways, places[0] as Place, readings.length);
    }
    if (members !== undefined) {
      const some = spacedOut(members, most);
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

  /** Undefined where the short is not in circuit, or the board's state or the points differ in kind. */
  #plainOf(short: Short, readings: readonly CopperReading[]): PlainReadings | undefined {
    const [first] = readings;
    if (first === undefined || !short.actsIn(first.state)) return undefined;
    const key = readings.map(({ id, drive }) => `${id} ${drive.red} ${drive.black}`).join(',');
    if (!this.#plain.has(key)) {
      const isOne = readings.every(({ state }) => state === first.state);
      this.#plain.set(key, isOne ? new PlainReadings(first.state, readings) : undefined);
    }
    return this.#plain.get(key);
  }

  /** With one short the sides have nothing to do with each other, nor with its ohms. */
  #singleCase(
    form: CopperForm,
    acting: readonly (readonly Crossing[])[],
    readings: readonly CopperReading[],
  ): CopperCase | undefined {
    const pins = acting[0]?.[0]?.pins;
    const quick = pins === undefined ? undefined : quickSides(form, pins, acting, readings);
    if (quick === 'no way') return undefined;
    const sensings = quick?.every(isThere) ? [] : sensingsOf(form, acting, readings);
    if (sensings === undefined) return undefined;
    const ids = readings.map(({ id }) => id).join(',');
    const side = (k: 0 | 1, { name }: SideForm): SideSketch => {
      const key = `${k} ${name} ${acting.map(([crossing]) => crossing?.pins[k]).join(' ')} ${ids}`;
      const held = this.#sketches.get(key) ?? quick?.[k]?.() ?? sketchSide(sensings, k);
      this.#sketches.set(key, held);
      return held;
    };
    const share = new Float64Array(readings.length).fill(1); // of a four-wire reading the short shows whole
    sensings.forEach(({ drive, sense }, n) => {
      share[n] = (drive.crossings[0] ?? 0) * (sense.crossings[0] ?? 0);
    });
    return joined(side(0, form.first), side(1, form.second), share);
  }
}

/** Four-wire readings of one state of the board, on sides that are trees. */
class PlainReadings {
  readonly #state: BoardState;
  readonly #pairs: readonly Pair[];
  readonly #sides = new Map<SideForm, TreeReadings | undefined>();
  readonly #ways = new Map<CopperForm, readonly TreeWay[] | undefined>();

  constructor(state: BoardState, readings: readonly CopperReading[]) {
    this.#state = state;
    this.#pairs = readings.map(({ drive }) => drive);
  }

  /** The ways of a form, as many as are gone through; undefined where a side of one is no tree. */
  treesOf(form: CopperForm, most: number): readonly TreeWay[] | undefined {
    if (!this.#ways.has(form)) this.#ways.set(form, this.#find(form));
    const ways = this.#ways.get(form);
    return ways && spacedOut(ways, most);
  }

  #find({ members, ...form }: CopperForm): readonly TreeWay[] | undefined {
    const found: TreeWay[] = [];
    for (const { first, second } of members ?? [form]) {
      const [one, other] = [this.#treeOf(first), this.#treeOf(second)];
      if (one === undefined || other === undefined) return undefined;
      found.push([one, other]);
    }
    return found;
  }

  #treeOf(form: SideForm): TreeReadings | undefined {
    if (!this.#sides.has(form)) {
      const side = form.under(this.#state);
      const pins = treePins(side, this.#pairs);
      this.#sides.set(form, pins && new TreeReadings(side, pins));
    }
    return this.#sides.get(form);
  }
}

type Sketching = (() => SideSketch) | undefined;

function isThere(sketching: Sketching): boolean {
  return sketching !== undefined;
}

/**
 * Where all readings are four-wire and of one state, ways over a side that is a tree are as good as
 * currents through it: how to sketch each side so, undefined for a side that is none.
 */
function quickSides(
  { first, second }: CopperForm,
  pins: Place,
  acting: readonly (readonly Crossing[])[],
  readings: readonly CopperReading[],
): readonly [Sketching, Sketching] | 'no way' | undefined {
  const { state } = readings[0] as CopperReading;
  const isPlain = readings.every((one, n) => {
    return one.drive === one.sense && one.state === state && acting[n]?.length === 1;
  });
  if (!isPlain) return undefined;
  const pairs = readings.map(({ drive }) => drive);
  const sides = [first.under(state), second.under(state)] as const;
  const across = pairs.every(({ red, black }) =>
    sides.every((side) => side.has(red) !== side.has(black)),
  );
  if (!across) return undefined;
  const isJoined = pairs.every(({ red, black }) =>
    sides.every((side, k) => side.joins(side.has(red) ? red : black, pins[k as 0 | 1])),
  );
  if (!isJoined) return 'no way';
  const sketching = (k: 0 | 1): Sketching => {
    const own = treePins(sides[k], pairs);
    return own && (() => new TreeReadings(sides[k], own).sketch(pins[k]));
  };
  return [sketching(0), sketching(1)];
}

function joined(one: SideSketch, two: SideSketch, share: Float64Array): CopperCase {
  const sum = (x: Float64Array, y: Float64Array): Float64Array =>
    x.map((value, k) => value + (y[k] as number));
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
