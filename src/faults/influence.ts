import type { Prediction } from '../circuit/likelihood.ts';
import type { Fault } from './fault.ts';
import { litReach } from './lit-path.ts';
import type { Observation } from './observation.ts';
import type { Explanation, Problem } from './problem.ts';
import { Worlds } from './world.ts';

/** Share of a reading's ohms below which a change cannot be told from rounding. */
const ALIKE_RATIO = 1e-9;
/** The same for the power an open takes away: what it leaves may be millions of times harder to pass. */
const NOTHING_RATIO = 1e-15;

type Nets = ReadonlySet<number>;

/** V at a net for 1 A through the reading; undefined where nothing joins it to the point it enters. */
type Volts = (net: number) => number | undefined;

/**
 * Which observations one more fault would leave as an explanation has them: the current of the
 * reading keeps clear of it. Found from the node voltages of the reading, without solving anew.
 */
export class Influence {
  readonly #problem: Problem;
  readonly #explanation: Explanation;
  readonly #worlds: Worlds;
  readonly #fromA: (Volts | undefined)[] = [];
  readonly #fromB: (Volts | undefined)[] = [];
  readonly #sides: (readonly (readonly [Nets, Nets])[])[] = [];

  constructor(problem: Problem, explanation: Explanation) {
    this.#problem = problem;
    this.#explanation = explanation;
    this.#worlds = new Worlds(problem.circuit, problem.universe, explanation.faults);
  }

  /** True when an observation reads the same with `fault` there too. */
  spares(fault: Fault, observation: Observation): boolean {
    const { a, b } = observation;
    if (this.#problem.states.at(observation).acts[fault.id] === 0) return true;
    if (fault.what === 'copper') return a !== b || fault.nets?.[0] !== a;
    if (a === b) return true;
    if (fault.junctions !== undefined && observation.isLit) return false;
    if (!this.#shortsSpare(fault, observation)) return false;
    if (observation.isLit && !this.#staysDark(fault, observation)) return false;
    const part = fault.members[0]?.part ?? -1;
    if (fault.what === 'joint') {
      return !this.#hasShortAt(part, fault.pin) && this.#openSpares(part, fault.pin, observation);
    }
    return !fault.opensPart || this.#openSpares(part, -1, observation);
  }

  #shortsSpare({ id }: Fault, observation: Observation): boolean {
    const shorts = this.#problem.states.at(observation).branchesOf(id);
    if (shorts.length === 0) return true;
    const ohms = this.#ohms(observation);
    const volts = this.#voltsFromA(observation);
    if (ohms === Number.POSITIVE_INFINITY) {
      // Nothing joins the points; what does not touch both sides cannot either.
      const beyond = this.#voltsFromB(observation);
      const ends = shorts.flatMap(({ a, b }) => [a, b]);
      return [volts, beyond].some((side) => ends.every((net) => side(net) === undefined));
    }
    const changes = (difference: number, r: number): boolean =>
      difference ** 2 > ALIKE_RATIO * ohms * r;
    // Ways out of what carries the current meet again at worst right behind their branches.
    const ways: { readonly volts: number; readonly ohms: number }[] = [];
    for (const branch of shorts) {
      const u = volts(branch.a);
      const v = volts(branch.b);
      if (u !== undefined && v !== undefined) {
        if (changes(u - v, branch.ohms)) return false;
      } else if (u !== undefined || v !== undefined) {
        ways.push({ volts: (u ?? v) as number, ohms: branch.ohms });
      }
    }
    return ways.every((one, k) =>
      ways.slice(0, k).every((other) => !changes(one.volts - other.volts, one.ohms + other.ohms)),
    );
  }

  /** True when a short leads from nowhere that the current gets to, to nowhere that it could go on from. */
  #staysDark({ id }: Fault, observation: Observation): boolean {
    const shorts = this.#problem.states.at(observation).branchesOf(id);
    if (shorts.length === 0 || this.#problem.circuit.junctions.length === 0) return true;
    const ends = [...new Set(shorts.flatMap(({ a, b }) => [a, b]))];
    return this.#litSides(observation).every(([from, to]) => {
      const onward = ends.filter((net) => from.has(net));
      return onward.every((net) => ends.every((other) => other === net || !to.has(other)));
    });
  }

  /** For each way the meter's leads were put: where the current gets to, and where it could come from. */
  #litSides(observation: Observation): readonly (readonly [Nets, Nets])[] {
    const { index, a, b, entries } = observation;
    this.#sides[index] ??= [...new Set(entries.map(({ isTurned }) => isTurned === true))].map(
      (isTurned) => {
        const { view, added } = this.#worlds.of(observation);
        const [red, black] = isTurned ? [b, a] : [a, b];
        return [litReach(view, added, red), litReach(view, added, black, true)] as const;
      },
    );
    return this.#sides[index];
  }

  /** An open joint would also keep this short of the part from the pads. */
  #hasShortAt(part: number, pin: number): boolean {
    return this.#explanation.faults.some((id) => {
      const { members, branches } = this.#problem.universe.faults[id] as Fault;
      return (
        members.length === 1 &&
        members[0]?.part === part &&
        branches.some(({ pinA, pinB }) => pinA === pin || pinB === pin)
      );
    });
  }

  /** @param pin the pin that opens, or −1 for all of the part */
  #openSpares(part: number, pin: number, observation: Observation): boolean {
    const { circuit, meter } = this.#problem;
    const ohms = this.#ohms(observation);
    // What carries nothing by resistances alone may still stand in a junction's way.
    const isHeard = observation.entries.every(({ mode }) => mode === 'continuity');
    if (!isHeard && ohms > meter.junctionOhms && circuit.junctions.length > 0) return false;
    if (ohms === Number.POSITIVE_INFINITY) return true;
    return circuit.elementsOf(part).every((element) => {
      if (pin >= 0 && element.a !== pin && element.b !== pin) return true;
      const volts = this.#voltsFromA(observation);
      const u = volts(element.netA);
      const v = volts(element.netB);
      if (u === undefined || v === undefined) return true;
      return (u - v) ** 2 <= NOTHING_RATIO * ohms * element.ohms;
    });
  }

  #ohms({ index }: Observation): number {
    return (this.#explanation.predictions[index] as Prediction).ohms;
  }

  #voltsFromA(observation: Observation): Volts {
    const { index, a, b } = observation;
    this.#fromA[index] ??= this.#voltsBetween(observation, a, b);
    return this.#fromA[index];
  }

  #voltsFromB(observation: Observation): Volts {
    const { index, a, b } = observation;
    this.#fromB[index] ??= this.#voltsBetween(observation, b, a);
    return this.#fromB[index];
  }

  #voltsBetween(observation: Observation, from: number, to: number): Volts {
    const { view, added } = this.#worlds.of(observation);
    return view.network.voltages(from, to, added);
  }
}
