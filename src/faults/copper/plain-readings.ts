import type { CopperForm, SideForm } from '../../circuit/copper/copper-map.ts';
import { FamilyReadings } from '../../circuit/copper/family-sketch.ts';
import { MeshReadings } from '../../circuit/copper/mesh-sketch.ts';
import type { CopperSide } from '../../circuit/copper/side.ts';
import type { SideReadings, WayReadings } from '../../circuit/copper/side-readings.ts';
import { spacedOut } from '../../circuit/copper/spaced-out.ts';
import { TreeReadings } from '../../circuit/copper/tree-sketch.ts';
import type { CopperReading } from './copper-readings.ts';

type PlainSides = readonly [SideReadings, SideReadings];

/** With many readings fewer of alike ways are gone through: so many products of two readings. */
const MOST_PRODUCTS = 60_000;

/**
 * Four-wire readings from one side to the other, as each way of the copper sees them. Both sides are
 * prepared once, for shorts anywhere on them.
 */
export class PlainReadings {
  readonly #readings: readonly CopperReading[];
  readonly #ways = new Map<SideForm, WayReadings | undefined>();
  readonly #sides = new Map<CopperForm, PlainSides | undefined>();

  constructor(readings: readonly CopperReading[]) {
    this.#readings = readings;
  }

  /**
   * Both sides in a form; undefined where readings have both points on one side, or were taken with other
   * links on.
   */
  sidesIn(form: CopperForm): PlainSides | undefined {
    if (!this.#sides.has(form)) this.#sides.set(form, this.#find(form));
    return this.#sides.get(form);
  }

  #find({ members, ...form }: CopperForm): PlainSides | undefined {
    const all = members ?? [form];
    const first = this.#any(all.map((one) => one.first));
    const second = this.#any(all.map((one) => one.second));
    return first && second && [first, second];
  }

  #any(forms: readonly SideForm[]): SideReadings | undefined {
    const count = this.#readings.length;
    const some = spacedOut([...new Set(forms)], Math.ceil(MOST_PRODUCTS / count ** 2));
    const ways: WayReadings[] = [];
    for (const form of some) {
      const way = this.#on(form);
      if (way === undefined) return undefined;
      ways.push(way);
    }
    return ways.length === 1 ? ways[0] : new FamilyReadings(ways, count);
  }

  #on(form: SideForm): WayReadings | undefined {
    if (!this.#ways.has(form)) this.#ways.set(form, this.#make(form));
    return this.#ways.get(form);
  }

  #make(form: SideForm): WayReadings | undefined {
    const [side, ...others] = new Set(this.#readings.map(({ state }) => form.under(state)));
    const pins = side && pinsOn(side, this.#readings);
    if (pins === undefined || others.length > 0) return undefined;
    return side?.isTree ? new TreeReadings(side, pins) : new MeshReadings(side as CopperSide, pins);
  }
}

/** The one point of each reading that lies on a side; undefined where some have both there, or none. */
function pinsOn(side: CopperSide, readings: readonly CopperReading[]): number[] | undefined {
  const pins: number[] = [];
  for (const {
    drive: { red, black },
  } of readings) {
    if (side.has(red) === side.has(black)) return undefined;
    pins.push(side.has(red) ? red : black);
  }
  return pins;
}
