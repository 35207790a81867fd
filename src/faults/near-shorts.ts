import type { View } from '../circuit/circuit.ts';
import { reach } from '../circuit/conduction.ts';
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
  /** What lies on the way between the two points and it. */
  readonly ways: readonly [Way, Way];
}

/** A way from a point to a net near it, as what would open it. */
export interface Way {
  /** Chance that some of it is open. */
  readonly open: number;
  /** Faults that would open its last element. */
  readonly opens: readonly number[];
  readonly before: Way | undefined;
}

const NO_WAY: Way = { open: 0, opens: [], before: undefined };

/** Nets near a net, and the Ω that lie between. */
type Near = ReadonlyMap<number, number>;

/** Bound on the chance that one of two ways is open somewhere. */
export function openOf([one, other]: NearShort['ways']): number {
  return one.open + other.open;
}

/** True when one of some faults opens a way. */
export function isOpened(way: Way, by: readonly number[]): boolean {
  for (let at: Way | undefined = way; at !== undefined; at = at.before) {
    if (at.opens.some((id) => by.includes(id))) return true;
  }
  return false;
}

/** Entries of each kind kept at most. */
const MOST_KEPT = 20_000;

/** By nets that the faults of a world bring some of nearer: which. */
const NEARER = new WeakMap<Near, readonly number[]>();
const NO_NETS: readonly number[] = [];

/** By view: what is near its nets without faults; whatever is known of the board, it stays. */
const BARE = new WeakMap<View, Map<string, Near>>();

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
  /** By observation: Ω below which it is contradicted, rounded; what is near does not hang on the last digits. */
  readonly #limitNames: readonly string[];
  /** Kept from problem to problem; copper's faults, which come and go, stand apart. */
  readonly #kept: Nearby;
  /** For worlds that faults of copper are part of. */
  readonly #passing = new Nearby();

  constructor(problem: Problem) {
    this.#problem = problem;
    this.#limitNames = problem.observations.map(({ contradicted }) => contradicted.toPrecision(3));
    this.#plain = new Worlds(problem.circuit, problem.universe, []);
    this.#kept = problem.states.nearby;
    this.#kept.trim();
  }

  /** True when a short could spoil the observation. */
  canSpoil({ contradicted, a, b }: Observation): boolean {
    return contradicted > 0 && a !== b;
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
    const key = `${stateKey}/${world.key}/${a}/${b}/${observation.contradicted}`;
    let found = memory.shorts.get(key);
    if (found === undefined) {
      const plain = this.#plain.of(observation);
      found =
        world !== plain && world.view === plain.view
          ? this.#nearer(observation, world, here)
          : this.#apartFrom(
              this.#between(observation, world, (net, near) => here.lastingInto(net, near)),
              here,
            );
      memory.shorts.set(key, found);
    }
    return found;
  }

  /** Those without faults, but for the ones on nets that the faults of a world bring nearer to a point. */
  #nearer(observation: Observation, world: World, here: StateFaults): readonly NearShort[] {
    const { a, b } = observation;
    const before = this.#lasting(observation, this.#plain.of(observation), here);
    const nearA = this.#near(world, observation, a);
    const nearB = this.#near(world, observation, b);
    const ids = new Set<number>();
    const take = (nets: Iterable<number>, near: Near): void => {
      for (const net of nets) for (const id of here.lastingInto(net, near)) ids.add(id);
    };
    take(this.#broughtNearer(world, observation, a), nearB);
    take(this.#broughtNearer(world, observation, b), nearA);
    if (ids.size === 0) return before;
    const none: readonly number[] = [];
    const onNet = new Map<number, number[]>();
    for (const id of ids) {
      for (const net of new Set(here.branchesOf(id).flatMap((one) => [one.a, one.b]))) {
        const held = onNet.get(net);
        if (held === undefined) onNet.set(net, [id]);
        else held.push(id);
      }
    }
    const anew = this.#between(observation, world, (net) => onNet.get(net) ?? none);
    return [...before.filter(({ id }) => !ids.has(id)), ...this.#apartFrom(anew, here)];
  }

  #apartFrom(found: readonly Omit<NearShort, 'open'>[], here: StateFaults): NearShort[] {
    return found.map(({ id, ways }) => ({ id, open: here.keptApart(id), ways }));
  }

  /** Nets that the faults of a world bring nearer to a net. */
  #broughtNearer(world: World, observation: Observation, net: number): readonly number[] {
    const bare = this.#near(this.#plain.of(observation), observation, net);
    const near = this.#near(world, observation, net);
    if (near === bare) return NO_NETS;
    let nets = NEARER.get(near);
    if (nets === undefined) {
      nets = [...near].filter(([at, ohms]) => bare.get(at) !== ohms).map(([at]) => at);
      NEARER.set(near, nets);
    }
    return nets;
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
    shortsInto: (net: number, near: Near) => readonly number[],
  ): Omit<NearShort, 'open'>[] {
    const { a, b, contradicted: limit } = observation;
    const nearA = this.#near(world, observation, a);
    const nearB = this.#near(world, observation, b);
    const here = this.#problem.states.at(observation);
    const wayFromA = this.#waysFrom(world, here, a, nearA);
    const wayFromB = this.#waysFrom(world, here, b, nearB);
    const found = new Map<number, NearShort['ways']>();
    for (const [net, ohmsA] of nearA) {
      for (const id of shortsInto(net, nearB)) {
        if (found.has(id)) continue;
        for (const branch of here.branchesOf(id)) {
          const other = branch.a === net ? branch.b : branch.b === net ? branch.a : -1;
          const ohmsB = nearB.get(other);
          if (ohmsB === undefined || ohmsA + branch.ohms + ohmsB > limit) continue;
          const ways = [wayFromA(net), wayFromB(other)] as const;
          const held = found.get(id);
          if (held === undefined || openOf(ways) < openOf(held)) found.set(id, ways);
        }
      }
    }
    return [...found].map(([id, ways]) => ({ id, ways }));
  }

  /** The easiest way from a net to one near it. */
  #waysFrom(world: World, { acts }: StateFaults, from: number, near: Near): (net: number) => Way {
    const { universe } = this.#problem;
    const { network, touching } = world.view;
    const known = new Map([[from, NO_WAY]]);
    const wayTo = (net: number): Way => {
      let way = known.get(net);
      if (way !== undefined) return way;
      way = NO_WAY; // over a branch that a fault has added, should none of the board's lead here
      for (const k of touching[net] ?? []) {
        const { a, b, ohms } = network.branches[k] as Branch;
        const before = a === net ? b : a;
        const ohmsBefore = near.get(before);
        if (ohmsBefore === undefined || ohmsBefore + ohms !== near.get(net)) continue;
        const opens = opensOfBranch(world, universe, k).filter((id) => acts[id] === 1);
        const rest = wayTo(before);
        const open = opens.reduce((sum, id) => sum + (universe.before[id] as number), rest.open);
        way = { open, opens, before: rest };
        break;
      }
      known.set(net, way);
      return way;
    };
    return wayTo;
  }

  #near(world: World, { index, contradicted, stateKey }: Observation, net: number): Near {
    const bare = this.#bareNear(world.view, net, contradicted, this.#limitNames[index] as string);
    // A fault that nothing near the net touches brings nothing nearer.
    if (world.added.every(({ a, b }) => !bare.has(a) && !bare.has(b))) return bare;
    const memory = this.#memoryOf(world);
    const key = `${stateKey}/${world.key}/${net}/${this.#limitNames[index]}`;
    let near = memory.near.get(key);
    if (near === undefined) {
      near = reach(world.view, world.added, net, contradicted);
      memory.near.set(key, near);
    }
    return near;
  }

  #bareNear(view: View, net: number, limit: number, name: string): Near {
    let kept = BARE.get(view);
    if (kept === undefined) {
      kept = new Map();
      BARE.set(view, kept);
    }
    const key = `${net}/${name}`;
    let near = kept.get(key);
    if (near === undefined) {
      near = reach(view, [], net, limit);
      if (kept.size >= MOST_KEPT) kept.clear();
      kept.set(key, near);
    }
    return near;
  }

  /** Faults of copper have other numbers in the next problem. */
  #memoryOf(world: World): Nearby {
    const { lastingCount } = this.#problem.states;
    return world.addedFault.some((id) => id >= lastingCount) ? this.#passing : this.#kept;
  }
}
