import {
  type BoardElement,
  type BoardJunction,
  type Circuit,
  NO_OPENS,
  netOf,
  type Opens,
  type View,
} from '../circuit/circuit.ts';
import type { Prediction } from '../circuit/likelihood.ts';
import type { Branch } from '../circuit/network.ts';
import { voltsAt } from '../circuit/sight.ts';
import type { BoardState } from '../circuit/state.ts';
import { actsOn, type Fault, isInCircuit } from './fault.ts';
import type { Universe } from './universe.ts';

/** The circuit a meter sees under a state if a set of faults is true. */
export interface World {
  readonly view: View;
  /** All elements of the healthy board; the view's branches point into them. */
  readonly elements: readonly BoardElement[];
  /** Branches the faults add. */
  readonly added: readonly Branch[];
  /** Fault behind each added branch, and the pins it hangs on (−1 for copper). */
  readonly addedFault: readonly number[];
  readonly addedPins: readonly (readonly [number, number])[];
  /** Standard deviation of ln Ω of each added branch. */
  readonly spreads: readonly number[];
  /** Nets whose copper is broken between the points read. */
  readonly brokenNets: ReadonlySet<number>;
  readonly key: string;
}

/** Puts faults into a state of the board. */
export function worldOf(
  circuit: Circuit,
  universe: Pick<Universe, 'faults'>,
  state: BoardState,
  faults: readonly number[],
): World {
  const openParts = new Set<number>();
  const openPins = new Set<number>();
  const brokenNets = new Set<number>();
  const acting = faults
    .map((id) => universe.faults[id])
    .filter((fault) => fault !== undefined)
    .filter((fault) => actsOn(fault, state));
  for (const fault of acting) {
    if (fault.what === 'joint') openPins.add(fault.pin);
    else if (fault.what === 'copper') brokenNets.add(fault.nets?.[0] ?? -1);
    else if (fault.opensPart) openParts.add(fault.members[0]?.part ?? -1);
  }
  const added: Branch[] = [];
  const addedFault: number[] = [];
  const addedPins: [number, number][] = [];
  const spreads: number[] = [];
  for (const fault of acting) {
    for (const branch of fault.branches) {
      const { pinA, pinB } = branch;
      if (!isInCircuit(branch, state)) continue;
      if (fault.members.length === 1 && (openPins.has(pinA) || openPins.has(pinB))) continue;
      added.push(branch);
      addedFault.push(fault.id);
      addedPins.push([pinA, pinB]);
      spreads.push(fault.spread);
    }
  }
  const junctions = acting.flatMap((fault) => junctionsOf(circuit, fault, state, openPins));
  const opens: Opens =
    openParts.size + openPins.size + junctions.length > 0
      ? { parts: openParts, pins: openPins, junctions }
      : NO_OPENS;
  const view = circuit.view(state, opens);
  return {
    view,
    elements: circuit.elements,
    added,
    addedFault,
    addedPins,
    spreads,
    brokenNets,
    key: `${addedFault.join(',')}|${[...openParts].join(',')}|${[...openPins].join(',')}`,
  };
}

/**
 * What a set of faults does under a state. States that leave the same in circuit have one {@link Circuit.view};
 * where this is the same too, so are the worlds.
 */
export function actingKey(
  { faults: all }: Pick<Universe, 'faults'>,
  state: BoardState,
  faults: readonly number[],
): string {
  const { lifted } = state;
  let key = '';
  for (const id of faults) {
    const fault = all[id];
    if (fault === undefined || !actsOn(fault, state)) continue;
    key += `${id},`;
    if (lifted.size === 0) continue;
    fault.branches.forEach((branch, k) => {
      if (!isInCircuit(branch, state)) key += `-${k},`;
    });
    fault.junctions?.forEach(({ anode, cathode }, k) => {
      if (lifted.has(anode) || lifted.has(cathode)) key += `>${k},`;
    });
  }
  return key;
}

/** What a failed part conducts one way, as far as its legs are on the board. */
function junctionsOf(
  { board }: Circuit,
  { junctions = [], members }: Fault,
  { lifted }: BoardState,
  openPins: ReadonlySet<number>,
): BoardJunction[] {
  const isLoose = (pin: number): boolean => lifted.has(pin) || openPins.has(pin);
  return junctions
    .filter(({ anode, cathode }) => !isLoose(anode) && !isLoose(cathode))
    .map((junction) => ({
      ...junction,
      part: members[0]?.part ?? -1,
      netA: netOf(board, junction.anode),
      netK: netOf(board, junction.cathode),
    }))
    .filter(({ netA, netK }) => netA !== netK);
}

/** The worlds of one set of faults: one for every state of the board, each made when first asked for. */
export class Worlds {
  readonly #circuit: Circuit;
  readonly #universe: Universe;
  readonly #faults: readonly number[];
  readonly #held = new Map<string, World>();

  constructor(circuit: Circuit, universe: Universe, faults: readonly number[]) {
    this.#circuit = circuit;
    this.#universe = universe;
    this.#faults = faults;
  }

  of({ state, stateKey }: { readonly state: BoardState; readonly stateKey: string }): World {
    let world = this.#held.get(stateKey);
    if (world === undefined) {
      world = worldOf(this.#circuit, this.#universe, state, this.#faults);
      this.#held.set(stateKey, world);
    }
    return world;
  }
}

/** What a meter would read between two nets in a world. */
export function predict(world: World, a: number, b: number): Prediction {
  if (a === b) return { ohms: world.brokenNets.has(a) ? Number.POSITIVE_INFINITY : 0, spread: 0 };
  const { network } = world.view;
  const seen = {
    tolerance: toleranceOf(world, a, b),
    through: throughJunctions(world, a, b),
  };
  if (world.added.length === 0) return { ohms: network.resistance(a, b), spread: 0, ...seen };
  const { ohms, currents } = network.solve(a, b, world.added);
  if (ohms === Number.POSITIVE_INFINITY) return { ohms, spread: 0, ...seen };
  // d(R)/d(ln r) of a branch is i²·r for 1 A through the meter
  let variance = 0;
  world.added.forEach((branch, k) => {
    const share = (currents[k] as number) ** 2 * branch.ohms * (world.spreads[k] as number);
    variance += share * share;
  });
  return { ohms, spread: Math.sqrt(variance) / (ohms + 0.2), ...seen };
}

/** Every part of the path counts by the share of the power it takes: d ln R / d ln r = i²·r / R. */
function toleranceOf(
  { view, elements, added }: World,
  a: number,
  b: number,
): NonNullable<Prediction['tolerance']> {
  let held: number | undefined;
  return () => {
    held ??= view.network.spread(
      a,
      b,
      added,
      (k) => elements[view.elementOf[k] ?? -1]?.spread ?? 0,
    );
    return held;
  };
}

/** What a current meets with junctions counted. */
function throughJunctions(
  { view, added }: World,
  a: number,
  b: number,
): NonNullable<Prediction['through']> {
  let held: Map<string, number> | undefined;
  return (amps, ceiling, isTurned) => {
    held ??= new Map();
    const key = `${amps}/${ceiling}/${isTurned}`;
    let volts = held.get(key);
    if (volts === undefined) {
      const [red, black] = isTurned ? [b, a] : [a, b];
      volts = voltsAt({ view, added, red, black }, amps, ceiling);
      held.set(key, volts);
    }
    return volts;
  };
}
