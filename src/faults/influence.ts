import type { BoardElement } from '../circuit/circuit.ts';
import type { Prediction } from '../circuit/likelihood.ts';
import { actsOn, type Fault, type FaultBranch } from './fault.ts';
import type { Observation } from './observation.ts';
import type { Explanation, Problem } from './search.ts';
import { type World, worldOf } from './world.ts';

/** Share of a reading's ohms below which a change cannot be told from rounding. */
const ALIKE_RATIO = 1e-9;

/** The same for the power an open takes away: what it leaves may be millions of times harder to pass. */
const NOTHING_RATIO = 1e-15;

type Volts = (net: number) => number | undefined;

/**
 * Which observations one more fault would leave as an explanation has them: the current of the
 * reading keeps clear of it. Found from the node voltages of the reading, without solving anew. A
 * short that leaves the resistances alone is taken to leave alone what junctions add to them.
 */
export class Influence {
  readonly #problem: Problem;
  readonly #explanation: Explanation;
  readonly #worlds = new Map<string, World>();
  readonly #volts: (Volts | undefined)[] = [];
  readonly #beyond: (Volts | undefined)[] = [];

  constructor(problem: Problem, explanation: Explanation) {
    this.#problem = problem;
    this.#explanation = explanation;
  }

  /** True when an observation reads the same with `fault` there too. */
  spares(fault: Fault, observation: Observation): boolean {
    const { a, b, state } = observation;
    if (!actsOn(fault, state)) return true;
    if (fault.what === 'copper') return a !== b || fault.nets?.[0] !== a;
    if (a === b) return true;
    const shorts = fault.branches.filter(
      ({ pinA, pinB }) => !state.lifted.has(pinA) && !state.lifted.has(pinB),
    );
    if (!this.#shortsSpare(shorts, observation)) return false;
    if (fault.what === 'joint') return this.#jointSpares(fault, observation);
    return !fault.opensPart || this.#openSpares(fault.members[0]?.part ?? -1, -1, observation);
  }

  #shortsSpare(shorts: readonly FaultBranch[], observation: Observation): boolean {
    if (shorts.length === 0) return true;
    const { ohms } = this.#explanation.predictions[observation.index] as Prediction;
    const volts = this.#voltsOf(observation);
    if (ohms === Number.POSITIVE_INFINITY) {
      const beyond = this.#beyondOf(observation);
      const ends = shorts.flatMap(({ a, b }) => [a, b]);
      return (
        ends.every((net) => volts(net) === undefined) ||
        ends.every((net) => beyond(net) === undefined)
      );
    }
    // Ways out of what carries the current meet again at worst right behind these branches.
    let least = Number.POSITIVE_INFINITY;
    let most = Number.NEGATIVE_INFINITY;
    let lowest = Number.POSITIVE_INFINITY;
    for (const branch of shorts) {
      const u = volts(branch.a);
      const v = volts(branch.b);
      if (u === undefined && v === undefined) continue;
      if (u !== undefined && v !== undefined) {
        if ((u - v) ** 2 > ALIKE_RATIO * ohms * branch.ohms) return false;
        continue;
      }
      const within = (u ?? v) as number;
      least = Math.min(least, within);
      most = Math.max(most, within);
      lowest = Math.min(lowest, branch.ohms);
    }
    return !((most - least) ** 2 > ALIKE_RATIO * ohms * lowest) || most < least;
  }

  /** A joint of a part also keeps the part's own short from the pads. */
  #jointSpares(fault: Fault, observation: Observation): boolean {
    const part = fault.members[0]?.part ?? -1;
    const { universe } = this.#problem;
    const isShort = this.#explanation.faults.some((id) => {
      const { members, branches } = universe.faults[id] as Fault;
      return (
        members.length === 1 &&
        members[0]?.part === part &&
        branches.some(({ pinA, pinB }) => pinA === fault.pin || pinB === fault.pin)
      );
    });
    return !isShort && this.#openSpares(part, fault.pin, observation);
  }

  /** @param pin the pin that opens, or −1 for all of the part */
  #openSpares(part: number, pin: number, observation: Observation): boolean {
    const { circuit, meter } = this.#problem;
    const touches = (a: number, b: number): boolean => pin < 0 || a === pin || b === pin;
    // What carries nothing by resistances alone may still stand in a junction's way.
    const hears = observation.entries.every(({ mode }) => mode === 'continuity');
    const { ohms } = this.#explanation.predictions[observation.index] as Prediction;
    if (!hears && ohms > meter.junctionOhms && circuit.junctions.length > 0) return false;
    const own = circuit.elementsOf(part).filter(({ a, b }) => touches(a, b));
    return own.length === 0 || this.#carriesNothing(own, observation);
  }

  #carriesNothing(elements: readonly BoardElement[], observation: Observation): boolean {
    const { ohms } = this.#explanation.predictions[observation.index] as Prediction;
    if (ohms === Number.POSITIVE_INFINITY) return true;
    const volts = this.#voltsOf(observation);
    return elements.every((element) => {
      const u = volts(element.netA);
      const v = volts(element.netB);
      return (
        u === undefined || v === undefined || (u - v) ** 2 <= NOTHING_RATIO * ohms * element.ohms
      );
    });
  }

  /** The same from the second point, where nothing joins it to the first. */
  #beyondOf({ index, a, b, stateKey }: Observation): Volts {
    let volts = this.#beyond[index];
    if (volts === undefined) {
      const world = this.#worlds.get(stateKey) as World;
      volts = world.view.network.voltages(b, a, world.added);
      this.#beyond[index] = volts;
    }
    return volts;
  }

  #voltsOf({ index, a, b, state, stateKey }: Observation): Volts {
    let volts = this.#volts[index];
    if (volts === undefined) {
      let world = this.#worlds.get(stateKey);
      if (world === undefined) {
        const { circuit, universe } = this.#problem;
        world = worldOf(circuit, universe, state, this.#explanation.faults);
        this.#worlds.set(stateKey, world);
      }
      volts = world.view.network.voltages(a, b, world.added);
      this.#volts[index] = volts;
    }
    return volts;
  }
}
