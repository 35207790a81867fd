import { reach } from '../circuit/conduction.ts';
import { contradictedBelow } from '../circuit/likelihood.ts';
import type { Branch } from '../circuit/network.ts';
import { opensOfBranch } from './cut.ts';
import type { Observation } from './observation.ts';
import type { Problem } from './problem.ts';
import type { StateFaults } from './state-faults.ts';
import { type World, Worlds } from './world.ts';

/** A fault that would spoil an observation, and the chance that an open joint keeps it from that. */
export interface Spoiler {
  readonly id: number;
  readonly open: number;
}

export interface NearShort extends Spoiler {
  /** Chance that something on the way between the points and it is open. */
  readonly aside: number;
}

/** Nets near a net, and the Ω that lie between. */
type Near = ReadonlyMap<number, number>;

/** Entries of each kind kept at most. */
const MOST_KEPT = 20_000;

/** What was found near points; holds for all problems with the same faults of parts and joints. */
export class Nearby {
  readonly near: Map<string, Near> = new Map();
  readonly shorts: Map<string, readonly NearShort[]> = new Map();

  trim(): void {
    if (this.near.size > MOST_KEPT) this.near.clear();
    if (this.shorts.size > MOST_KEPT) this.shorts.clear();
  }
}

/** Shorts that alone would bring the points of an observation below what it contradicts. */
export class NearShorts {
  readonly #problem: Problem;
  /** The board without faults. */
  readonly #plain: Worlds;
  /** By observation: Ω below which it is contradicted. */
  readonly #limits: Float64Array;
  /** The same, rounded: what is near does not hang on the last digits. */
  readonly #limitNames: readonly string[];
  /** Kept from problem to problem; copper's faults, which come and go, stand apart. */
  readonly #kept: Nearby;
  /** For worlds that faults of copper are part of. */
  readonly #passing = new Nearby();

  constructor(problem: Problem) {
    this.#problem = problem;
    this.#limits = Float64Array.from(problem.observations, ({ entries }) =>
      Math.max(...entries.map(({ value }) => contradictedBelow(problem.meter, value))),
    );
    this.#limitNames = Array.from(this.#limits, (limit) => limit.toPrecision(3));
    this.#plain = new Worlds(problem.circuit, problem.universe, []);
    this.#kept = problem.states.nearby;
    this.#kept.trim();
  }

  /** True when a short could spoil the observation. */
  canSpoil({ index, a, b }: Observation): boolean {
    return (this.#limits[index] as number) > 0 && a !== b;
  }

  /** @param world default: the board without faults */
  of(observation: Observation, world: World = this.#plain.of(observation)): readonly NearShort[] {
    const here = this.#problem.states.at(observation);
    const loose = this.#loose(observation, world, here);
    const lasting = this.#lasting(observation, world, here);
    return loose.length > 0 ? [...lasting, ...loose] : lasting;
  }

  /** Of the faults of parts. */
  #lasting(observation: Observation, world: World, here: StateFaults): readonly NearShort[] {
    const { stateKey, a, b } = observation;
    const memory = this.#memoryOf(world);
    const key = `${stateKey}/${world.key}/${a}/${b}/${this.#limits[observation.index]}`;
    let found = memory.shorts.get(key);
    if (found === undefined) {
      const plain = this.#plain.of(observation);
      found =
        world !== plain && this.#isAlike(world, plain, observation)
          ? this.#lasting(observation, plain, here)
          : this.#between(observation, world, (net) => here.lastingAt(net)).map(
              ({ id, aside }) => ({ id, open: here.keptApart(id), aside }),
            );
      memory.shorts.set(key, found);
    }
    return found;
  }

  /** Of the faults of copper. */
  #loose(observation: Observation, world: World, here: StateFaults): readonly NearShort[] {
    return this.#between(observation, world, (net) => here.looseAt(net)).map((one) => {
      return { ...one, open: 0 };
    });
  }

  #between(
    observation: Observation,
    world: World,
    shortsAt: (net: number) => readonly number[],
  ): { id: number; aside: number }[] {
    const { index, a, b } = observation;
    const limit = this.#limits[index] as number;
    const nearA = this.#near(world, observation, a);
    const nearB = this.#near(world, observation, b);
    const here = this.#problem.states.at(observation);
    const asideA = this.#openBetween(world, here, a, nearA);
    const asideB = this.#openBetween(world, here, b, nearB);
    const found = new Map<number, number>();
    for (const [net, ohmsA] of nearA) {
      for (const id of shortsAt(net)) {
        if (found.has(id)) continue;
        for (const branch of here.branchesOf(id)) {
          const other = branch.a === net ? branch.b : branch.b === net ? branch.a : -1;
          const ohmsB = nearB.get(other);
          if (ohmsB === undefined || ohmsA + branch.ohms + ohmsB > limit) continue;
          const aside = asideA(net) + asideB(other);
          found.set(id, Math.min(aside, found.get(id) ?? aside));
        }
      }
    }
    return [...found].map(([id, aside]) => ({ id, aside }));
  }

  /** Chance that the easiest way from a net to one near it is open somewhere. */
  #openBetween(
    world: World,
    { acts }: StateFaults,
    from: number,
    near: Near,
  ): (net: number) => number {
    const { universe } = this.#problem;
    const { network, touching } = world.view;
    const known = new Map([[from, 0]]);
    const aside = (net: number): number => {
      let chance = known.get(net);
      if (chance !== undefined) return chance;
      chance = 0; // over a branch that a fault has added, should none of the board's lead here
      for (const k of touching[net] ?? []) {
        const { a, b, ohms } = network.branches[k] as Branch;
        const before = a === net ? b : a;
        const ohmsBefore = near.get(before);
        if (ohmsBefore === undefined || ohmsBefore + ohms !== near.get(net)) continue;
        chance = aside(before);
        for (const id of opensOfBranch(world, universe, k)) {
          if (acts[id] === 1) chance += universe.before[id] as number;
        }
        break;
      }
      known.set(net, chance);
      return chance;
    };
    return aside;
  }

  /** True when the faults of a world lie too far from the points to bring anything nearer. */
  #isAlike(world: World, plain: World, observation: Observation): boolean {
    if (world.view !== plain.view) return false;
    const nearA = this.#near(plain, observation, observation.a);
    const nearB = this.#near(plain, observation, observation.b);
    return world.added.every(
      ({ a, b }) => !nearA.has(a) && !nearA.has(b) && !nearB.has(a) && !nearB.has(b),
    );
  }

  #near(world: World, { index, stateKey }: Observation, net: number): Near {
    const memory = this.#memoryOf(world);
    const key = `${stateKey}/${world.key}/${net}/${this.#limitNames[index]}`;
    let near = memory.near.get(key);
    if (near === undefined) {
      near = reach(world.view, world.added, net, this.#limits[index] as number);
      memory.near.set(key, near);
    }
    return near;
  }

  /** Faults of copper have other numbers in the next problem. */
  #memoryOf(world: World): Nearby {
    const { lastingCount } = this.#problem.states;
    return world.addedFault.some((id) => id >= lastingCount) ? this.#passing : this.#kept;
  }
}
