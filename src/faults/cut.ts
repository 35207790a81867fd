import type { View } from '../circuit/circuit.ts';
import { type EasiestWay, easiestWay } from '../circuit/conduction.ts';
import type { Branch } from '../circuit/network.ts';
import type { Borders } from './borders.ts';
import type { Chances } from './chances.ts';
import type { Fault } from './fault.ts';
import { SAME_VOLTAGE_RATIO } from './short-kinds.ts';
import type { ShortStrengths } from './short-strengths.ts';
import type { StateFaults } from './state-faults.ts';
import type { StrongSets } from './strong-sets.ts';
import type { StrongShorts } from './strong-shorts.ts';
import type { Universe } from './universe.ts';
import type { World } from './world.ts';

/** A fault whose presence could help to explain a reading. */
export interface Lead {
  readonly fault: number;
  readonly chance: number;
  /** Share of the fit of the explained observations that is left once it is there. */
  readonly ratio: number;
  /** Joins the surroundings of both points at once. */
  readonly direct: boolean;
  /** Guess at the chance of what it needs beside it, where `direct` does not tell; default 1. */
  readonly beside?: number;
  /** Nets it leads to from the near side, for shorts. */
  readonly to: readonly number[];
}

export interface Candidate extends Lead {
  /** Bound on the chance that it is there and the way goes on from where it leads. */
  readonly bound: number;
}

/** Faults at least one of which is needed to explain a reading; none: nothing listed can. */
export interface Cut {
  readonly candidates: readonly Candidate[];
  /** The point that the candidates lead towards. */
  readonly farPoint: number;
  /** Bound on the chance that the reading is explained without any of them; default 0. */
  readonly leftOut?: number;
  /** Work units it took to find them, beyond the usual; default 0. */
  readonly work?: number;
}

export const NOTHING: Cut = { candidates: [], farPoint: -1 };

/** What a cut is made in: a world, and what is decided so far. */
export interface Surroundings {
  readonly world: World;
  readonly universe: Universe;
  readonly chances: Chances;
  readonly here: StateFaults;
  readonly borders: Borders;
  /** The same with chances lowered by what each fault would spoil; undefined where that is spoilt anyhow. */
  readonly fitted: Borders | undefined;
  /** Share of the fit that is left once a fault is there too. */
  ratio(fault: number): number;
  /** Banks with a part decided to have failed. */
  readonly banks: ReadonlySet<number>;
  readonly strong: StrongSets;
  readonly strengths: ShortStrengths;
}

/** Both borders of an observation that wants less resistance, before the faults on them are listed. */
export interface ShortBorder {
  readonly near: ReadonlySet<number> | undefined;
  readonly far: ReadonlySet<number>;
  readonly points: readonly [number, number];
  readonly farPoint: number;
  /** Bound on the chance that anything crosses. */
  readonly chance: number;
}

/** The border between two points that less is likely to cross. */
export function shortBorder(
  within: Surroundings,
  a: number,
  b: number,
  limit: number,
): ShortBorder {
  const { world, strong, borders, banks } = within;
  const nearA = strong.around(world, a, b, limit);
  const nearB = strong.around(world, b, a, limit);
  if (nearA === undefined || nearB === undefined) {
    return { near: undefined, far: new Set(), points: [a, b], farPoint: b, chance: 1 };
  }
  const least = within.fitted ?? borders;
  const outA = least.out(nearA, nearA, banks);
  const outB = least.out(nearB, nearB, banks);
  return outA <= outB
    ? { near: nearA, far: nearB, points: [a, b], farPoint: b, chance: outA }
    : { near: nearB, far: nearA, points: [a, b], farPoint: a, chance: outB };
}

/** What could bring the resistance between two points below `limit`: the faults on their border. */
export function shortCut(within: Surroundings, border: ShortBorder, limit: number): Cut {
  const { near, far, farPoint } = border;
  if (near === undefined) return { ...acrossVoltage(within, border, limit), farPoint };
  return { candidates: crossing(within, near, far, limit), farPoint };
}

/** The same without bounds, for a guess at the likeliest. */
export function shortLeads(
  within: Surroundings,
  border: ShortBorder,
  limit: number,
): readonly Lead[] {
  const { near, far } = border;
  if (near === undefined) return acrossVoltage(within, border, limit).candidates;
  return leadsOut(within, near, far);
}

/** The faults that cross out of `near`, with a bound on what may lie beyond each. */
function crossing(
  within: Surroundings,
  near: ReadonlySet<number>,
  far: ReadonlySet<number>,
  limit: number,
): Candidate[] {
  const { universe, world, borders, strong } = within;
  // What leads on from beyond a fault either joins the far side at once, or goes further, and then
  // something must still lead into the far side.
  const onward = (table: Borders): ((net: number, bank: number) => number) => {
    const intoFar = Math.min(1, borders.out(far, near, within.banks));
    const kept = new Map<number, number>();
    return (net, bank) => {
      const key = net * 4096 + bank + 1;
      let sum = kept.get(key);
      if (sum === undefined) {
        const set = strong.around(world, net, -1, limit) ?? new Set([net]);
        const banks =
          bank < 0 || within.banks.has(bank) ? within.banks : new Set([...within.banks, bank]);
        const direct = table.joining(set, far, banks);
        sum = direct + Math.max(0, table.out(set, near, banks) - direct) * intoFar;
        kept.set(key, sum);
      }
      return sum;
    };
  };
  const beyond = onward(borders);
  const beyondFitted = within.fitted === undefined ? undefined : onward(within.fitted);
  return leadsOut(within, near, far).map((lead) => {
    const { fault, chance, ratio, direct, to } = lead;
    const { bank } = universe.faults[fault] as Fault;
    let rest = direct ? 1 : 0;
    let restFitted = 0;
    if (!direct) {
      for (const end of to) {
        rest += beyond(end, bank);
        restFitted += beyondFitted?.(end, bank) ?? Number.POSITIVE_INFINITY;
      }
    } else restFitted = Number.POSITIVE_INFINITY;
    // Of two faults that spoil the same observation only one may be charged for it.
    return { ...lead, bound: chance * Math.min(ratio * Math.min(1, rest), restFitted) };
  });
}

/** The faults that lead out of `near`. */
function leadsOut(
  { chances, here, ratio }: Surroundings,
  near: ReadonlySet<number>,
  far: ReadonlySet<number>,
): Lead[] {
  const found: Lead[] = [];
  const seen = new Set<number>();
  for (const net of near) {
    for (const id of here.shortsAt(net)) {
      if (seen.has(id) || !chances.isFree(id)) continue;
      seen.add(id);
      const to = leadsTo(here.branchesOf(id), near);
      if (to.length === 0) continue;
      const direct = to.some((end) => far.has(end));
      found.push({ fault: id, chance: chances.of(id), ratio: ratio(id), direct, to });
    }
  }
  return found;
}

function leadsTo(branches: readonly Branch[], near: ReadonlySet<number>): number[] {
  const ends: number[] = [];
  for (const { a, b } of branches) {
    if (near.has(a) !== near.has(b)) ends.push(near.has(a) ? b : a);
  }
  return ends;
}

/** From this many faults on those that could make a difference are sought out first. */
const MANY_FAULTS = 4000;

/**
 * Where no border exists, the shorts that would carry current: those between points that a current
 * through the meter holds at different voltages, or that lead out of what carries it. A set of
 * shorts none of which does would change nothing.
 */
function acrossVoltage(
  within: Surroundings,
  { points }: ShortBorder,
  limit: number,
): Omit<Cut, 'farPoint'> {
  const { universe, chances, here } = within;
  if (universe.faults.length >= MANY_FAULTS) {
    const strong = within.strengths.of(within, points, limit);
    if (strong !== undefined) return amongStrong(within, strong);
  }
  const carries = carrying(within.world, points);
  const found = universe.faults.filter(
    ({ id }) => chances.isFree(id) && here.branchesOf(id).some(carries),
  );
  return { candidates: found.map(({ id }) => straight(id, within)) };
}

function carrying({ view, added }: World, [a, b]: readonly [number, number]) {
  const volts = view.network.voltages(a, b, added);
  const whole = Math.abs((volts(a) ?? 0) - (volts(b) ?? 0));
  return (branch: Branch): boolean => {
    const u = volts(branch.a);
    const v = volts(branch.b);
    if (u === undefined || v === undefined) return u !== v;
    return Math.abs(u - v) > SAME_VOLTAGE_RATIO * whole;
  };
}

/** The strong shorts that are free, and all of copper; those that are not enough need one more. */
function amongStrong(
  within: Surroundings,
  { shorts, leftOut, work }: StrongShorts & { readonly work: number },
): Omit<Cut, 'farPoint'> {
  const { universe, here, chances } = within;
  const all = [...shorts];
  for (let id = here.lasting.acts.length; id < universe.faults.length; id++) {
    if (here.branchesOf(id).length > 0) all.push({ id, isEnough: true });
  }
  const free = all.filter(({ id }) => chances.isFree(id));
  const beside = Math.min(
    1,
    free.reduce((sum, { id }) => sum + chances.of(id), leftOut),
  );
  const candidates = free.map(({ id, isEnough }): Candidate => {
    if (isEnough) return straight(id, within);
    const chance = chances.of(id);
    const ratio = within.ratio(id);
    return {
      fault: id,
      chance,
      ratio,
      direct: true,
      to: NOWHERE,
      bound: chance * ratio * beside,
      beside,
    };
  });
  return { candidates, leftOut, work };
}

/** A fault that does by itself what is wanted. */
export function straight(id: number, { chances, ratio }: Surroundings): Candidate {
  const chance = chances.of(id);
  const share = ratio(id);
  return { fault: id, chance, ratio: share, direct: true, to: NOWHERE, bound: chance * share };
}

const NOWHERE: readonly never[] = [];

/** What could break the way between `a` and `b` that keeps it below `limit`. */
export function openCut(within: Surroundings, a: number, b: number, limit: number): Cut {
  const { world, universe, chances, here } = within;
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
    .filter((id) => here.acts[id] === 1 && chances.isFree(id))
    .map((id) => straight(id, within));
  return { candidates, farPoint: b };
}

/** The easiest way between two nets in a world; branches past the view's own are its added ones. */
export function pathThrough(world: World, a: number, b: number): EasiestWay | undefined {
  let kept = PATHS.get(world.view);
  if (kept === undefined) {
    kept = new Map();
    PATHS.set(world.view, kept);
  }
  const key = `${world.added.map((x) => `${x.a}-${x.b}@${x.ohms}`).join(',')}/${a}/${b}`;
  if (!kept.has(key)) kept.set(key, easiestWay(world.view, world.added, a, b));
  return kept.get(key);
}

/** Paths already found, by view; the same questions come back after every reading. */
const PATHS = new WeakMap<View, Map<string, EasiestWay | undefined>>();

/** Faults that would open one branch of a world: its part, or the joints of its two pins. */
export function opensOfBranch(world: World, universe: Universe, branch: number): number[] {
  const own = world.view.network.branches.length;
  if (branch >= own) {
    const k = branch - own;
    const fault = universe.faults[world.addedFault[k] as number];
    if (fault === undefined || fault.members.length !== 1) return [];
    return (world.addedPins[k] ?? []).flatMap((pin) => universe.lists.jointsOf(pin));
  }
  const element = world.view.elementOf[branch] as number;
  if (element < 0) return [];
  const { part, a, b } = world.elements[element] as World['elements'][number];
  return [
    ...universe.lists.opensOf(part),
    ...universe.lists.jointsOf(a),
    ...universe.lists.jointsOf(b),
  ];
}
