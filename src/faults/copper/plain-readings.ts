import type { CopperForm, SideForm } from '../../circuit/copper/copper-map.ts';
import { MeshReadings } from '../../circuit/copper/mesh-sketch.ts';
import type { CopperSide } from '../../circuit/copper/side.ts';
import type { SideReadings } from '../../circuit/copper/side-readings.ts';
import { spacedOut } from '../../circuit/copper/spaced-out.ts';
import { TreeReadings } from '../../circuit/copper/tree-sketch.ts';
import type { PlainWay } from './any-plain-case.ts';
import type { CopperReading } from './copper-readings.ts';

/**
 * Four-wire readings from one side to the other, as each way of the copper sees them. Both sides are
 * prepared once, for shorts anywhere on them.
 */
export class PlainReadings {
  readonly #readings: readonly CopperReading[];
  readonly #sides = new Map<SideForm, SideReadings | undefined>();
  readonly #ways = new Map<CopperForm, readonly PlainWay[] | undefined>();

  constructor(readings: readonly CopperReading[]) {
    this.#readings = readings;
  }

  /**
   * The ways of a form, as many as are gone through; undefined where readings have both points on one side,
   * or were taken with other links on.
   */
  waysOf(form: CopperForm, most: number): readonly PlainWay[] | undefined {
    if (!this.#ways.has(form)) this.#ways.set(form, this.#find(form));
    const ways = this.#ways.get(form);
    return ways && spacedOut(ways, most);
  }

  #find({ members, ...form }: CopperForm): readonly PlainWay[] | undefined {
    const found: PlainWay[] = [];
    for (const { first, second } of members ?? [form]) {
      const [one, other] = [this.#on(first), this.#on(second)];
      if (one === undefined || other === undefined) return undefined;
      found.push([one, other]);
    }
    return found;
  }

  #on(form: SideForm): SideReadings | undefined {
    if (!this.#sides.has(form)) this.#sides.set(form, this.#make(form));
    return this.#sides.get(form);
  }

  #make(form: SideForm): SideReadings | undefined {
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
