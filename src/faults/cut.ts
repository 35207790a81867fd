import { easiestPath } from '../circuit/board-graph.ts';
import { strongSet } from '../circuit/conduction.ts';
import type { BoardState } from '../circuit/state.ts';
import type { Borders } from './borders.ts';
import type { Chances } from './chances.ts';
import { actsOn, type Fault } from './fault.ts';
import type { Universe } from './universe.ts';
import type { World } from './world.ts';

/** A fault whose presence could help to explain a reading. */
export interface Candidate {
  readonly fault: number;
  readonly chance: number;
  /** Joins the surroundings of both points at once. */
  readonly direct: boolean;
  /** Nets it leads to from the near side, for shorts. */
  readonly to: readonly number[];
  /** Bound on the chance that it is there and the way goes on from where it leads. */
  readonly bound: number;
}

/** Faults at least one of which is needed to explain a reading; none: nothing listed can. */
export interface Cut {
  readonly candidates: readonly Candidate[];
  /** The point that the candidates lead towards. */
  readonly farPoint: number;
}

const NOTHING: Cut = { candidates: [], farPoint: -1 };

/** What a cut is made in: a world, and what is decided so far. */
export interface Surroundings {
  readonly world: World;
  readonly universe: Universe;
  readonly chances: Chances;
  readonly state: BoardState;
  readonly borders: Borders;
  /** Banks with a part decided to have failed. */
  readonly banks: ReadonlySet<number>;
}

/** What could bring the resistance between `a` and `b` below `limit`. */
export function shortCut(within: Surroundings, a: number, b: number, limit: number): Cut {
  if (a === b) return NOTHING;
  const { view, added } = within.world;
  const nearA = strongSet(view, added, a, b, limit);
  const nearB = strongSet(view, added, b, a, limit);
  if (nearA === undefined || nearB === undefined) {
    return { candidates: everyShort(within), farPoint: b };
  }
  // The border with less chance of anything crossing it leaves fewer faults to try.
  const { borders, banks } = within;
  const out = [borders.out(nearA, nearA, banks), borders.out(nearB, nearB, banks)] as const;
  return out[0] <= out[1]
    ? { candidates: crossing(within, nearA, nearB, limit), farPoint: b }
    : { candidates: crossing(within, nearB, nearA, limit), farPoint: a };
}

/** The faults that cross out of `near`, with a bound on what may lie beyond each. */
function crossing(
  within: Surroundings,
  near: ReadonlySet<number>,
  far: ReadonlySet<number>,
  limit: number,
): Candidate[] {
  const { universe, chances, state, world, borders } = within;
  const found: Candidate[] = [];
  const seen = new Set<number>();
  const around = new Map<number, ReadonlySet<number>>();
  // What leads on from beyond a fault either joins the far side at once, or goes further, and then
  // something must still lead into the far side.
  const intoFar = Math.min(1, borders.out(far, near, within.banks));
  const beyond = (net: number, bank: number): number => {
    let set = around.get(net);
    if (set === undefined) {
      set = strongSet(world.view, world.added, net, -1, limit) ?? new Set([net]);
      around.set(net, set);
    }
    const banks = bank < 0 ? within.banks : new Set([...within.banks, bank]);
    const direct = borders.joining(set, far, banks);
    return direct + Math.max(0, borders.out(set, near, banks) - direct) * intoFar;
  };
  for (const net of near) {
    for (const id of universe.byNet[net] ?? []) {
      if (seen.has(id) || !chances.isFree(id)) continue;
      seen.add(id);
      const fault = universe.faults[id] as Fault;
      if (!actsOn(fault, state)) continue;
      const to = leadsTo(fault, state, near);
      if (to.length === 0) continue;
      const chance = chances.of(id);
      const direct = to.some((end) => far.has(end));
      const rest = direct ? 1 : to.reduce((sum, end) => sum + beyond(end, fault.bank), 0);
      found.push({ fault: id, chance, direct, to, bound: chance * Math.min(1, rest) });
    }
  }
  return found;
}

function leadsTo(fault: Fault, state: BoardState, near: ReadonlySet<number>): number[] {
  const ends: number[] = [];
  for (const { a, b, pinA, pinB } of fault.branches) {
    if (state.lifted.has(pinA) || state.lifted.has(pinB)) continue;
    if (near.has(a) !== near.has(b)) ends.push(near.has(a) ? b : a);
  }
  return ends;
}

function everyShort({ universe, chances, state }: Surroundings): Candidate[] {
  return universe.faults
    .filter((fault) => fault.branches.length > 0 && chances.isFree(fault.id) && actsOn(fault, state))
    .map((fault) => straight(fault.id, chances));
}

function straight(id: number, chances: Chances): Candidate {
  const chance = chances.of(id);
  return { fault: id, chance, direct: true, to: [], bound: chance };
}

/** What could break the way between `a` and `b` that keeps it below `limit`. */
export function openCut(within: Surroundings, a: number, b: number, limit: number): Cut {
  const { world, universe, chances, state } = within;
  const ids = new Set<number>();
  if (a === b) {
    for (const fault of universe.faults) {
      if (fault.what === 'copper' && fault.nets?.[0] === a) ids.add(fault.id);
    }
  } else {
    const path = pathThrough(world, a, b);
    if (path === undefined) return NOTHING;
    const all = path.ohms <= limit ? path.branches : world.view.network.branches.map((_, k) => k);
    for (const branch of all) for (const id of opensOfBranch(world, universe, branch)) ids.add(id);
  }
  const candidates = [...ids]
    .filter((id) => chances.isFree(id) && actsOn(universe.faults[id] as Fault, state))
    .map((id) => straight(id, chances));
  return { candidates, farPoint: b };
}

/** The easiest way between two nets in a world; branches past the view's own are its added ones. */
export function pathThrough(
  world: World,
  a: number,
  b: number,
): { branches: number[]; ohms: number } | undefined {
  const graph = world.view.graph();
  const own = world.view.network.branches.length;
  const names: { v: string; w: string; name: string }[] = [];
  world.added.forEach((branch, k) => {
    if (branch.a === branch.b) return;
    const edge = { v: String(branch.a), w: String(branch.b), name: String(own + k) };
    graph.setEdge(edge, { ohms: branch.ohms, branch: own + k });
    names.push(edge);
  });
  const path = easiestPath(graph, a, b);
  for (const edge of names) graph.removeEdge(edge);
  return path;
}

/** Faults that would open one branch of a world: its part, or the joints of its two pins. */
export function opensOfBranch(world: World, universe: Universe, branch: number): number[] {
  const own = world.view.network.branches.length;
  if (branch >= own) {
    const k = branch - own;
    const fault = universe.faults[world.addedFault[k] as number];
    if (fault === undefined || fault.members.length !== 1) return [];
    return (world.addedPins[k] ?? []).flatMap((pin) => universe.jointsOf.get(pin) ?? []);
  }
  const element = world.view.elementOf[branch] as number;
  if (element < 0) return [];
  const { part, a, b } = world.elements[element] as World['elements'][number];
  return [
    ...(universe.opensOf.get(part) ?? []),
    ...(universe.jointsOf.get(a) ?? []),
    ...(universe.jointsOf.get(b) ?? []),
  ];
}
