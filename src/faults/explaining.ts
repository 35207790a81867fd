import type { Prediction } from '../circuit/likelihood.ts';
import { Borders } from './borders.ts';
import type { Chances } from './chances.ts';
import { Completion } from './completion.ts';
import {
  type Candidate,
  type Cut,
  type Lead,
  NOTHING,
  openCut,
  opensOfBranch,
  type Surroundings,
  shortBorder,
  shortCut,
  shortLeads,
  straight,
} from './cut.ts';
import type { Fault } from './fault.ts';
import type { Hope } from './hopes.ts';
import { litPath } from './lit-path.ts';
import type { NearShorts } from './near-shorts.ts';
import { type Observation, wantedChange } from './observation.ts';
import type { Explanation, Problem } from './problem.ts';
import { ShortStrengths } from './short-strengths.ts';
import { Spoils } from './spoils.ts';
import type { StateFaults } from './state-faults.ts';
import { StrongSets } from './strong-sets.ts';
import type { Worlds } from './world.ts';

/** Where a search stands: the faults decided to be there, and what would be read. */
export interface Standing extends Pick<Explanation, 'faults' | 'predictions' | 'fits'> {
  readonly worlds: Worlds;
  /** Observations that nothing still free can explain. */
  readonly given: ReadonlySet<number>;
}

/** The observation being explained, and the faults still to be tried for it, best first. */
export interface Pending {
  readonly observation: number;
  readonly tries: readonly Try[];
  readonly at: number;
  /** Bound on the chance that it is explained without any of them. */
  readonly leftOut: number;
  /** Work units it took to find them, beyond the usual. */
  readonly work: number;
}

export interface Try {
  readonly candidate: Candidate;
  /** Chance of the candidate times that of the likeliest way to complete the explanation. */
  readonly score: number;
  /** Sums of the bounds and of the chances of this and all later tries. */
  readonly boundSum: number;
  readonly chanceSum: number;
}

interface OneState {
  readonly here: StateFaults;
  readonly plain: Borders;
  /** With chances lowered by what each fault would spoil. */
  readonly fitted: Borders;
}

interface Look {
  readonly observation: Observation;
  readonly chance: number;
  find(): Pending;
  /** The same with the chance of each alone, unordered. */
  hopes(): Hope[];
}

/** A path of more Ω than a reading wants needs another beside it; how much less likely that is taken to be. */
const WEAK_RATIO = 0.01;
/** An observation counts as explained when its fit is at least this share of the best it could have… */
const EXPLAINED_RATIO = 0.03;
/**
 * …or so many times that of a slip: a short's ohms are known to a decade or two, so that no short comes
 * near the best that a number could have.
 */
const BEYOND_SLIP = 8;

function explainedFrom({ entries, best, floor, missed }: Observation): number {
  const slip = entries.length > 1 ? missed : floor;
  return Math.min(EXPLAINED_RATIO * best, BEYOND_SLIP * slip);
}

export function isExplained({ fits }: Pick<Standing, 'fits'>, observation: Observation): boolean {
  return (fits[observation.index] as number) >= explainedFrom(observation);
}

/** Most that an observation may fit which nothing explains: one of several entries may still be met. */
export function mostUnexplained(observation: Observation, fit: number): number {
  const { entries, best } = observation;
  return entries.length > 1 ? Math.max(fit, EXPLAINED_RATIO * best) : fit;
}

/** Finds the faults that could explain what those decided so far do not. */
export class Explaining {
  readonly #p: Problem;
  readonly #chances: Chances;
  readonly #completion: Completion;
  readonly #strong = new StrongSets();
  readonly #strengths: ShortStrengths;
  readonly #states = new Map<string, OneState>();
  readonly #spoils: Spoils;
  /** By parts that an observation asks about. */
  readonly #junctionFaults = new Map<readonly number[], readonly number[]>();

  constructor(problem: Problem, near: NearShorts, chances: Chances) {
    this.#p = problem;
    this.#chances = chances;
    this.#completion = new Completion(problem.circuit, problem.universe, problem.states);
    this.#strengths = new ShortStrengths(problem.circuit);
    this.#spoils = new Spoils(problem, near);
  }

  /** Gives back what was borrowed; it is of no use after that. */
  release(): void {
    this.#spoils.release();
  }

  /**
   * How likely anything could explain an observation, and a way to list what could.
   * @param at its decisions are loaded into the chances
   */
  look(at: Standing, observation: Observation): Look {
    const { universe, meter } = this.#p;
    const { a, b } = observation;
    const prediction = at.predictions[observation.index] as Prediction;
    const { way, limit } = wantedChange(observation, prediction, meter);
    const unspoilt = (k: number): boolean =>
      !at.given.has(k) && isExplained(at, this.#p.observations[k] as Observation);
    const opened = this.#spoils.opening(at.faults);
    const { here, plain, fitted } = this.#stateOf(observation);
    const within: Surroundings = {
      world: at.worlds.of(observation),
      universe,
      chances: this.#chances,
      here,
      borders: plain,
      fitted: opened.length === 0 && this.#allSilent(observation, unspoilt) ? fitted : undefined,
      ratio: (id) => this.#spoils.ratio(id, unspoilt, opened),
      banks: new Set(at.faults.map((id) => universe.faults[id]?.bank ?? -1).filter((k) => k >= 0)),
      strong: this.#strong,
      strengths: this.#strengths,
    };
    const list = (cut: Cut): Pending => ({
      observation: observation.index,
      tries: this.#order(cut, observation, limit),
      at: 0,
      leftOut: cut.leftOut ?? 0,
      work: cut.work ?? 0,
    });
    const lit = (): readonly Candidate[] => this.#litBetween(observation, within);
    if (way === 'higher' || a === b) {
      const find = (): Pending =>
        list(joined(a === b && way === 'lower' ? NOTHING : openCut(within, a, b, limit), lit()));
      const hopes = (): Hope[] =>
        find().tries.map(({ candidate: { fault }, score }) => ({ fault, chance: score }));
      return { observation, chance: 0, find, hopes };
    }
    const border = shortBorder(within, a, b, limit);
    const scoreOf = (lead: Lead): number => this.#score(lead, observation, border.farPoint, limit);
    return {
      observation,
      chance: border.chance,
      find: () => list(joined(shortCut(within, border, limit), lit())),
      hopes: () =>
        shortLeads(within, border, limit).map((lead) => ({
          fault: lead.fault,
          chance: scoreOf(lead),
        })),
    };
  }

  /** Faults that change what junctions carry between the points, where the reading tells of it. */
  #litBetween(
    { asks, a, b, entries, isLit }: Observation,
    within: Surroundings,
  ): readonly Candidate[] {
    if (asks.length === 0) return [];
    const { universe, here, chances, world } = within;
    const ids = new Set(this.#junctionFaultsOf(asks));
    const ways = isLit ? new Set(entries.map(({ isTurned }) => isTurned === true)) : [];
    for (const turned of ways) {
      const [red, black] = turned ? [b, a] : [a, b];
      for (const branch of litPath(world.view, world.added, red, black)?.branches ?? [])
        for (const id of opensOfBranch(world, universe, branch)) ids.add(id);
    }
    return [...ids]
      .filter((id) => here.acts[id] === 1 && chances.isFree(id))
      .map((id) => straight(id, within));
  }

  /** Faults of some parts that change what their junctions carry. */
  #junctionFaultsOf(parts: readonly number[]): readonly number[] {
    let found = this.#junctionFaults.get(parts);
    if (found === undefined) {
      const { circuit, universe } = this.#p;
      const { lists, faults } = universe;
      found = parts.flatMap((part) => [
        ...lists.ofPart(part).filter((id) => changesJunctions(faults[id])),
        ...(circuit.board.parts[part]?.pins ?? []).flatMap((pin) => lists.jointsOf(pin)),
      ]);
      this.#junctionFaults.set(parts, found);
    }
    return found;
  }

  /** Chance of the explanation that a fault leads to. */
  #score(lead: Lead, observation: Observation, farPoint: number, limit: number): number {
    if (lead.beside !== undefined) return lead.chance * lead.ratio * lead.beside;
    const { branches } = this.#p.universe.faults[lead.fault] as Fault;
    const isWeak = branches.length > 0 && branches.every(({ ohms }) => ohms >= limit);
    const alone = lead.chance * lead.ratio * (isWeak ? WEAK_RATIO : 1);
    return alone * this.#completion.chance(lead, observation, farPoint, limit);
  }

  /** Every other observation that a fault could spoil is unspoilt as yet. */
  #allSilent(apart: Observation, unspoilt: (k: number) => boolean): boolean {
    return this.#p.observations.every(
      ({ index }) => index === apart.index || !this.#spoils.asksSilence(index) || unspoilt(index),
    );
  }

  #stateOf(observation: Observation): OneState {
    let held = this.#states.get(observation.stateKey);
    if (held === undefined) {
      const { universe, states } = this.#p;
      const here = states.at(observation);
      held = {
        here,
        plain: new Borders(universe, here),
        fitted: new Borders(universe, here, this.#spoils.rootRatio),
      };
      this.#states.set(observation.stateKey, held);
    }
    return held;
  }

  /** Candidates by the chance of the explanation they lead to, with the sums that bound the rest. */
  #order(cut: Cut, observation: Observation, limit: number): Try[] {
    const scored = cut.candidates
      .filter((candidate) => candidate.chance > 0)
      .map((candidate) => ({
        candidate,
        score: this.#score(candidate, observation, cut.farPoint, limit),
      }))
      .sort((x, y) => y.score - x.score || x.candidate.fault - y.candidate.fault);
    return withSums(scored);
  }
}

function changesJunctions(fault: Fault | undefined): boolean {
  return fault?.what === 'part' && (fault.junctions !== undefined || fault.opensPart);
}

/** A cut and further faults that may do the same, each once. */
function joined(cut: Cut, more: readonly Candidate[]): Cut {
  if (more.length === 0) return cut;
  const known = new Set(cut.candidates.map(({ fault }) => fault));
  return {
    ...cut,
    candidates: [...cut.candidates, ...more.filter(({ fault }) => !known.has(fault))],
  };
}

/** Tries in their order, with the sums over each and those behind it. */
export function withSums(order: readonly Pick<Try, 'candidate' | 'score'>[]): Try[] {
  const tries: Try[] = new Array(order.length);
  let boundSum = 0;
  let chanceSum = 0;
  for (let k = order.length - 1; k >= 0; k--) {
    const { candidate, score } = order[k] as Try;
    boundSum += candidate.bound;
    chanceSum += candidate.chance;
    tries[k] = { candidate, score, boundSum, chanceSum };
  }
  return tries;
}
