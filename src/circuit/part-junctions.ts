import type { Board, ElementSpec, JunctionSpec, Part } from '../board/model.ts';
import { THERMAL_VOLTS } from './junction-law.ts';
import type { PinJunction } from './part-model.ts';
import type { PinNames, PinRoles } from './pin-roles.ts';

/** No mode that reads resistance or junctions drives more, V; what breaks down above it stays dark. */
const MOST_METER_VOLTS = 20;

/** The current at which a junction's voltage is stated, A. */
const STATED_AMPS = 1e-3;

const NOT_CONNECTED = /^(NC|N\.C\.?|DNC|NU)_?\d*$/i;

/** The junctions a list of elements gives a part, roles filled in. */
export function partJunctions(
  board: Board,
  part: Part,
  specs: readonly ElementSpec[],
  pinNamed: PinNames,
  roles: PinRoles,
): PinJunction[] {
  const junctions: PinJunction[] = [];
  const met = new Set<number>(); // net pairs that roles have given a junction
  for (const spec of specs) {
    if (spec.element !== 'junction') continue;
    const volts = voltsOf(spec, part);
    if (volts === undefined) continue;
    const byRole = spec.from.startsWith('@') || spec.to.startsWith('@');
    for (const [anode, cathode] of ends(board, part, spec, pinNamed, roles)) {
      if (byRole && !isNew(board, anode, cathode, met)) continue;
      junctions.push({ anode, cathode, volts, slope: spec.slope });
    }
  }
  return junctions;
}

/**
 * V at 1 mA. Breakdown is brought there along the junction's own law, and never below half the
 * rating, where a steep slope would lead nowhere.
 */
function voltsOf(spec: JunctionSpec, part: Part): number | undefined {
  if (spec.volts !== 'rated') return spec.volts;
  const { ratedAmps = STATED_AMPS, ratedFrom = 0, ratedBelow = Number.POSITIVE_INFINITY } = spec;
  const rated = part.volts ?? Number.POSITIVE_INFINITY;
  if (rated > MOST_METER_VOLTS || rated < ratedFrom || rated >= ratedBelow) return undefined;
  const shift = spec.slope * THERMAL_VOLTS * Math.log(ratedAmps / STATED_AMPS);
  return Math.max(rated - shift, rated / 2);
}

type Ends = readonly [number, number];

function ends(
  board: Board,
  part: Part,
  { from, to }: JunctionSpec,
  pinNamed: PinNames,
  roles: PinRoles,
): Ends[] {
  const ofPin = from === '@each' || to === '@each';
  const pinsOf = (name: string): readonly number[] => {
    if (name === '@each') return usedPins(board, roles.pins(part, name));
    if (!name.startsWith('@')) return present(pinNamed.get(name));
    // One pin is clamped to one supply and one ground: taken to be those that most pins share.
    return ofPin ? present(roles.mainPin(part, name)) : roles.pins(part, name);
  };
  const cathodes = pinsOf(to);
  const pairs = pinsOf(from).flatMap((anode) => cathodes.map((cathode): Ends => [anode, cathode]));
  if (![from, to].some((name) => name.startsWith('@')) || !roles.hasSides(part)) return pairs;
  // Across a barrier nobody says which pin is on which side, but a rail has both its nets on one.
  return pairs.filter(([anode, cathode]) => roles.areOneRail(anode, cathode));
}

function present(pin: number | undefined): number[] {
  return pin === undefined ? [] : [pin];
}

function usedPins(board: Board, pins: readonly number[]): number[] {
  return pins.filter((pin) => !NOT_CONNECTED.test(board.pins[pin]?.name ?? ''));
}

/** Several pins on one net are one place, and a net has no junction to itself. */
function isNew(board: Board, anode: number, cathode: number, met: Set<number>): boolean {
  const netA = board.pins[anode]?.net ?? -1;
  const netK = board.pins[cathode]?.net ?? -1;
  const key = netA * board.nets.length + netK;
  if (netA === netK || met.has(key)) return false;
  met.add(key);
  return true;
}
