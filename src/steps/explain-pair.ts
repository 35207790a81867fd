import { boardGraph, easiestPath } from '../circuit/board-graph.ts';
import type { Branch } from '../circuit/network.ts';
import type { Reading } from '../circuit/reading.ts';
import type { BoardState } from '../circuit/state.ts';
import { withLifted, withOff } from '../circuit/state.ts';
import type { FaultName } from '../faults/diagnosis.ts';
import { predict, type World, worldOf } from '../faults/world.ts';
import { type Analysis, healthyOhms } from './advise.ts';

/** One element of a conducting way: a healthy part, a failed one, or copper that should not be. */
export interface WayLink {
  /** `healthy` for a part doing its work, `listed link` for a connection the technician accepted. */
  readonly what: FaultName['what'] | 'healthy' | 'listed link';
  /** The part, or all that it could be. */
  readonly parts: readonly number[];
  /** Failed mode; absent for a healthy part. */
  readonly mode?: string;
  /** Nets, in the order of the way. */
  readonly from: number;
  readonly to: number;
  readonly ohms: number;
  /** Chance that this element is there; 1 for a healthy part. */
  readonly weight: number;
}

/** A chain of elements from the one net to the other. */
export interface ConductingWay {
  readonly links: readonly WayLink[];
  /** Ω of the chain by itself. */
  readonly ohms: number;
  /** Weight of the fault sets in which this way conducts. */
  readonly weight: number;
}

/** Something to raise or take off that would end the conduction. */
export interface Breaker {
  readonly parts: readonly number[];
  /** One leg to raise, of a jumper; absent when the parts have to come off. */
  readonly pin?: number;
  /** Of the weight of all fault sets under which the pair conducts, the share this would end. */
  readonly share: number;
}

/** Why two nets conduct, or could. */
export interface PairExplanation {
  readonly nets: readonly [number, number];
  /** Ω that a board without faults, put together, shows. */
  readonly healthyOhms: number;
  /** What a good board of the same kind read there. */
  readonly goodBoard: readonly Reading[];
  /** Weight of the fault sets under which a beeper sounds between the two nets now. */
  readonly conducts: number;
  /** Heaviest first. */
  readonly ways: readonly ConductingWay[];
  /** The largest share first; of equal ones the cheaper first. */
  readonly breakers: readonly Breaker[];
}

/** Fault sets weighed, those of them whose ways are followed, ways in each, parts tried as breakers. */
const MOST_WEIGHED = 200;
const MOST_SETS = 24;
const MOST_WAYS = 4;
const MOST_BREAKERS = 10;

/** A fault set under which the pair conducts. */
interface Case {
  readonly weight: number;
  readonly faults: readonly number[];
}

/**
 * Follows what joins two nets, under the present state or one of before: for each of the heaviest fault sets the way
 * of least resistance, then the next when the first one's faults are gone, and so on.
 */
export function explainPair(
  analysis: Analysis,
  a: number,
  b: number,
  state: BoardState = analysis.evidence.state,
): PairExplanation {
  const { beepOhms } = analysis.workbench.bench.meter;
  const cases: Case[] = [];
  const ways = new Map<string, ConductingWay>();
  let conducts = 0;
  for (const { faults, weight } of analysis.beliefs.explanations.slice(0, MOST_WEIGHED)) {
    const world = worldUnder(analysis, state, faults);
    if (predict(world, a, b).ohms >= beepOhms) continue;
    conducts += weight;
    if (cases.length >= MOST_SETS) continue;
    cases.push({ weight, faults });
    for (const way of waysIn(analysis, world, a, b, beepOhms)) addWay(ways, way, weight);
  }
  const found = [...ways.values()].sort((x, y) => y.weight - x.weight);
  const probe = { mode: 'continuity', red: { net: a }, black: { net: b } } as const;
  return {
    nets: [a, b],
    healthyOhms: healthyOhms(analysis.workbench, probe),
    goodBoard: analysis.workbench.bench.good.between(a, b),
    conducts,
    ways: found,
    breakers: breakersOf(analysis, found, cases, { state, nets: [a, b] }),
  };
}

function worldUnder(analysis: Analysis, state: BoardState, faults: readonly number[]): World {
  const { circuit, universe } = analysis.beliefs.problem;
  return worldOf(circuit, universe, state, faults);
}

type Way = Omit<ConductingWay, 'weight'>;

function waysIn(analysis: Analysis, world: World, a: number, b: number, limit: number): Way[] {
  const { network } = world.view;
  let left = world.added.map((branch, k) => ({ branch, fault: world.addedFault[k] ?? -1 }));
  const ways: Way[] = [];
  while (ways.length < MOST_WAYS) {
    const branches = [...network.branches, ...left.map(({ branch }) => branch)];
    const path = easiestPath(boardGraph(network.nodeCount, branches), a, b);
    if (path === undefined || path.ohms >= limit) break;
    const own = path.branches.map((k) => left[k - network.branches.length]?.fault);
    ways.push({
      links: linksOf(analysis, world, branches, path.branches, own, a),
      ohms: path.ohms,
    });
    const used = new Set(own.filter((fault) => fault !== undefined));
    if (used.size === 0) break;
    left = left.filter(({ fault }) => !used.has(fault));
  }
  return ways;
}

function linksOf(
  analysis: Analysis,
  world: World,
  branches: readonly Branch[],
  path: readonly number[],
  faults: readonly (number | undefined)[],
  start: number,
): WayLink[] {
  let at = start;
  return path.flatMap((k, place) => {
    const branch = branches[k];
    if (branch === undefined) return [];
    const from = at;
    at = branch.a === from ? branch.b : branch.a;
    const fault = faults[place];
    const ends = { from, to: at, ohms: branch.ohms };
    return [fault === undefined ? healthyLink(world, k, ends) : faultLink(analysis, fault, ends)];
  });
}

type Ends = Pick<WayLink, 'from' | 'to' | 'ohms'>;

function healthyLink(world: World, branch: number, ends: Ends): WayLink {
  const element = world.elements[world.view.elementOf[branch] ?? -1];
  if (element === undefined) return { what: 'listed link', parts: [], ...ends, weight: 1 };
  return { what: 'healthy', parts: [element.part], ...ends, weight: 1 };
}

function faultLink({ beliefs }: Analysis, id: number, ends: Ends): WayLink {
  const { faults } = beliefs.problem.universe;
  const fault = faults[id];
  const parts = fault?.members.map(({ part }) => part) ?? [];
  const weight = levelsOf(beliefs, id).reduce((sum, each) => sum + (beliefs.chance[each] ?? 0), 0);
  return { what: fault?.what ?? 'part', parts, mode: fault?.mode ?? '', ...ends, weight };
}

/** The faults that differ from one in nothing but their ohms, itself included; they exclude each other. */
function levelsOf({ problem }: Analysis['beliefs'], id: number): number[] {
  const { faults, lists } = problem.universe;
  const fault = faults[id];
  const [first] = fault?.members ?? [];
  if (fault === undefined || first === undefined) return [id];
  return lists.ofPart(first.part).filter((other) => {
    const { what, mode, group, members } = faults[other] ?? fault;
    return (
      what === fault.what &&
      mode === fault.mode &&
      group === fault.group &&
      members.length === fault.members.length
    );
  });
}

/** Levels of resistance of one mode are one way to a person. */
function addWay(ways: Map<string, ConductingWay>, way: Way, weight: number): void {
  const key = way.links
    .map(({ what, parts, mode, to }) => `${what} ${parts.join(',')} ${mode ?? ''} ${to}`)
    .join('|');
  const held = ways.get(key);
  ways.set(key, { ...(held ?? way), weight: (held?.weight ?? 0) + weight });
}

function breakersOf(
  analysis: Analysis,
  ways: readonly ConductingWay[],
  cases: readonly Case[],
  at: { readonly state: BoardState; readonly nets: readonly [number, number] },
): Breaker[] {
  const total = cases.reduce((sum, { weight }) => sum + weight, 0);
  const tried = new Map<string, Breaker>();
  for (const { links } of ways) {
    for (const { parts } of links) {
      const key = parts.join(',');
      if (parts.length === 0 || tried.has(key) || tried.size >= MOST_BREAKERS) continue;
      tried.set(key, tryBreaker(analysis, parts, { cases, total, ...at }));
    }
  }
  const ease = ({ parts, pin }: Breaker): number => (pin === undefined ? parts.length : 0);
  return [...tried.values()]
    .filter(({ share }) => share >= 0.01)
    .sort((x, y) => y.share - x.share || ease(x) - ease(y));
}

function tryBreaker(
  analysis: Analysis,
  parts: readonly number[],
  by: {
    cases: readonly Case[];
    total: number;
    state: BoardState;
    nets: readonly [number, number];
  },
): Breaker {
  const { board, bench } = analysis.workbench;
  const [only] = parts.flatMap((part) => board.parts[part] ?? []);
  const pin = parts.length === 1 && only?.kind.link === true ? only.pins.at(-1) : undefined;
  const after = pin === undefined ? withOff(by.state, parts) : withLifted(by.state, [pin]);
  let broken = 0;
  for (const { faults, weight } of by.cases) {
    const { ohms } = predict(worldUnder(analysis, after, faults), ...by.nets);
    if (ohms >= bench.meter.beepOhms) broken += weight;
  }
  const share = by.total > 0 ? broken / by.total : 0;
  return pin === undefined ? { parts, share } : { parts, pin, share };
}
