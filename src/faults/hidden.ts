import { reach } from '../circuit/conduction.ts';
import type { Prediction } from '../circuit/likelihood.ts';
import { contradictedBelow } from '../circuit/likelihood.ts';
import { Chances } from './chances.ts';
import { opensOfBranch, pathThrough } from './cut.ts';
import type { Fault } from './fault.ts';
import { type Observation, wantedChange } from './observation.ts';
import type { Explanation, Problem } from './search.ts';
import type { StateFaults } from './state-faults.ts';
import type { Universe } from './universe.ts';
import { predict, type World, Worlds } from './world.ts';

/** How the observations bear on faults that an explanation leaves undecided. */
export interface Hidden {
  /** By fault: fit of the observations if it were there too, over the fit without it; absent: 1. */
  readonly ratio: ReadonlyMap<number, number>;
  /** By fault: observations that speak against it. */
  readonly against: ReadonlyMap<number, readonly number[]>;
}

/** A fault that would spoil an observation, and the chance that an open joint keeps it from that. */
interface Spoiler {
  readonly id: number;
  readonly open: number;
}

/** Chance that an open joint keeps a part's short from the pads it is read on. */
function openChance(
  universe: Universe,
  fault: Fault,
  { acts }: StateFaults,
  chances: Chances,
): number {
  if (fault.members.length !== 1) return 0;
  let closed = 1;
  for (const pin of new Set(fault.branches.flatMap(({ pinA, pinB }) => [pinA, pinB]))) {
    for (const id of universe.jointsOf.get(pin) ?? []) {
      if (acts[id] === 1) closed *= 1 - chances.of(id);
    }
  }
  return 1 - closed;
}

/** Faults that alone, on a board without others, would spoil observations that ask for silence. */
export function spoilers(problem: Problem): ReadonlyMap<number, readonly number[]> {
  const hidden = new HiddenFaults(problem);
  const found = new Map<number, number[]>();
  for (const observation of problem.observations) {
    for (const id of hidden.spoiling(observation)) {
      const held = found.get(id);
      if (held === undefined) found.set(id, [observation.index]);
      else held.push(observation.index);
    }
  }
  return found;
}

/**
 * Undecided faults that would, each on its own, spoil what an explanation explains: a short across
 * two points that read quiet, an open in the only way between two that beep. Two undecided faults
 * that only together would spoil it are not counted; their chance is the product of two small ones.
 */
export class HiddenFaults {
  readonly #problem: Problem;
  readonly #reach = new Map<string, Map<number, number>>();
  readonly #found = new Map<string, readonly Spoiler[]>();
  readonly #only = new Map<number, readonly Spoiler[]>();
  /** The board without faults. */
  readonly #plain: Worlds;
  readonly #open = new Map<StateFaults, Map<number, number>>();
  /** Chances before any decision. */
  readonly #before: Chances;

  constructor(problem: Problem) {
    this.#problem = problem;
    this.#before = new Chances(problem.universe);
    this.#plain = new Worlds(problem.circuit, problem.universe, []);
  }

  of(explanation: Explanation, chances: Chances): Hidden {
    const ratio = new Map<number, number>();
    const against = new Map<number, number[]>();
    const { observations, universe, states } = this.#problem;
    const decidesJoint = explanation.faults.some((id) => universe.faults[id]?.what === 'joint');
    const note = ({ id, open }: Spoiler, observation: Observation): void => {
      if (!chances.isFree(id)) return;
      const fit = explanation.fits[observation.index] as number;
      const hidden = decidesJoint
        ? openChance(universe, universe.faults[id] as Fault, states.at(observation), chances)
        : open;
      const left = hidden + (1 - hidden) * Math.min(1, observation.floor / fit);
      ratio.set(id, (ratio.get(id) ?? 1) * left);
      const held = against.get(id);
      if (held === undefined) against.set(id, [observation.index]);
      else held.push(observation.index);
    };
    const worlds = new Worlds(this.#problem.circuit, universe, explanation.faults);
    for (const observation of observations) {
      const { a, b } = observation;
      const fit = explanation.fits[observation.index] as number;
      if (fit <= 2 * observation.floor) continue;
      const world = worlds.of(observation);
      const limit = this.#limit(observation);
      if (limit > 0 && a !== b) {
        for (const one of this.#shorts(world, observation, a, b, limit)) note(one, observation);
      } else for (const one of this.#opens(observation)) note(one, observation);
    }
    return { ratio, against };
  }

  /** Shorts that would spoil an observation if nothing else were wrong. */
  spoiling(observation: Observation): number[] {
    const { a, b } = observation;
    const limit = this.#limit(observation);
    if (limit <= 0 || a === b) return [];
    return this.#shorts(this.#plain.of(observation), observation, a, b, limit).map(({ id }) => id);
  }

  #limit(observation: Observation): number {
    const { meter } = this.#problem;
    return Math.max(...observation.entries.map(({ value }) => contradictedBelow(meter, value)));
  }

  /** Shorts that alone would bring the points below `limit`. */
  #shorts(
    world: World,
    observation: Observation,
    a: number,
    b: number,
    limit: number,
  ): readonly Spoiler[] {
    const key = `${observation.stateKey}/${world.key}/${a}/${b}/${limit}`;
    const held = this.#found.get(key);
    if (held !== undefined) return held;
    const plain = this.#plain.of(observation);
    if (world !== plain && this.#isAlike(world, plain, observation, limit)) {
      const same = this.#shorts(plain, observation, a, b, limit);
      this.#found.set(key, same);
      return same;
    }
    const nearA = this.#near(world, observation, a, limit);
    const nearB = this.#near(world, observation, b, limit);
    const here = this.#problem.states.at(observation);
    const found = new Set<number>();
    for (const [net, ohmsA] of nearA) {
      for (const id of here.shortsAt(net)) {
        if (found.has(id)) continue;
        for (const branch of here.branchesOf(id)) {
          const other = branch.a === net ? branch.b : branch.b === net ? branch.a : -1;
          const ohmsB = nearB.get(other);
          if (ohmsB !== undefined && ohmsA + branch.ohms + ohmsB <= limit) found.add(id);
        }
      }
    }
    const spoilers = [...found].map((id) => ({ id, open: this.#openBefore(id, here) }));
    this.#found.set(key, spoilers);
    return spoilers;
  }

  /** Before any decision; the same for every explanation. */
  #openBefore(id: number, here: StateFaults): number {
    let known = this.#open.get(here);
    if (known === undefined) {
      known = new Map();
      this.#open.set(here, known);
    }
    let open = known.get(id);
    if (open === undefined) {
      const { universe } = this.#problem;
      open = openChance(universe, universe.faults[id] as Fault, here, this.#before);
      known.set(id, open);
    }
    return open;
  }

  /** True when the faults of a world lie too far from the points to bring anything nearer. */
  #isAlike(world: World, plain: World, observation: Observation, limit: number): boolean {
    if (world.view !== plain.view) return false;
    const nearA = this.#near(plain, observation, observation.a, limit);
    const nearB = this.#near(plain, observation, observation.b, limit);
    return world.added.every(
      ({ a, b }) => !nearA.has(a) && !nearA.has(b) && !nearB.has(a) && !nearB.has(b),
    );
  }

  #near(world: World, observation: Observation, net: number, limit: number): Map<number, number> {
    const key = `${observation.stateKey}/${world.key}/${net}/${limit.toPrecision(3)}`;
    let near = this.#reach.get(key);
    if (near === undefined) {
      near = reach(world.view, world.added, net, limit);
      this.#reach.set(key, near);
    }
    return near;
  }

  /** Opens that alone would silence a reading that a healthy board explains. */
  #opens(observation: Observation): readonly Spoiler[] {
    const held = this.#only.get(observation.index);
    if (held !== undefined) return held;
    const { universe, meter } = this.#problem;
    const { a, b } = observation;
    const world = this.#plain.of(observation);
    const bare: Prediction = predict(world, a, b);
    const ids: number[] = [];
    if (
      bare.ohms < Number.POSITIVE_INFINITY &&
      a !== b &&
      wantedChange(observation, bare, meter).limit > bare.ohms
    ) {
      for (const branch of pathThrough(world, a, b)?.branches ?? []) {
        const {
          a: u,
          b: v,
          ohms,
        } = world.view.network.branches[branch] as { a: number; b: number; ohms: number };
        const isOnlyWay = world.view.network.resistance(u, v) > ohms * (1 - 1e-6);
        if (isOnlyWay) ids.push(...opensOfBranch(world, universe, branch));
      }
    } else if (a === b) {
      for (const fault of universe.faults)
        if (fault.what === 'copper' && fault.nets?.[0] === a) ids.push(fault.id);
    }
    const here = this.#problem.states.at(observation);
    const found = ids
      .filter((id) => here.acts[id] === 1)
      .map((id) => ({ id, open: this.#openBefore(id, here) }));
    this.#only.set(observation.index, found);
    return found;
  }
}
