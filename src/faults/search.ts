import type { Circuit } from '../circuit/circuit.ts';
import type { Prediction } from '../circuit/likelihood.ts';
import type { Meter } from '../circuit/meter.ts';
import { Borders } from './borders.ts';
import { Chances, type Decision } from './chances.ts';
import { Completion } from './completion.ts';
import {
  type Candidate,
  type Cut,
  NOTHING,
  openCut,
  type Surroundings,
  shortBorder,
  shortCut,
} from './cut.ts';
import { Heap } from './heap.ts';
import { spoilers } from './hidden.ts';
import { type Observation, observationFit, wantedChange } from './observation.ts';
import type { FaultSettings } from './settings.ts';
import { StrongSets } from './strong-sets.ts';
import type { Universe } from './universe.ts';
import { predict, type World, worldOf } from './world.ts';

/** Everything a search needs; nothing in it changes while it runs. */
export interface Problem {
  readonly circuit: Circuit;
  readonly universe: Universe;
  readonly observations: readonly Observation[];
  readonly meter: Meter;
  readonly settings: FaultSettings;
}

/** A set of faults that explains the observations as far as anything listed can. */
export interface Explanation {
  /** Ids of the faults that are there. Faults neither here nor ruled out by `decisions` stay open. */
  readonly faults: readonly number[];
  readonly decisions: Decision | undefined;
  /** Chance of the decisions times the fit of every observation. */
  readonly mass: number;
  readonly predictions: readonly Prediction[];
  readonly fits: Float64Array;
}

export interface SearchResult {
  readonly explanations: readonly Explanation[];
  /** Upper bound on the mass of everything that was not reached. */
  readonly leftOutMass: number;
  readonly expanded: number;
}

interface Node {
  readonly faults: readonly number[];
  readonly decisions: Decision | undefined;
  /** Chance of the decisions. */
  readonly chance: number;
  readonly predictions: readonly Prediction[];
  readonly fits: Float64Array;
  /** Observations that nothing still free can explain. */
  readonly given: ReadonlySet<number>;
  /** The observation being explained, and the faults still to be tried for it, best first. */
  readonly pending: Pending | undefined;
}

interface Pending {
  readonly observation: number;
  readonly tries: readonly Try[];
  readonly at: number;
}

interface Try {
  readonly candidate: Candidate;
  /** Chance of the candidate times that of the likeliest way to complete the explanation. */
  readonly score: number;
  /** Sum of the bounds of this and all later tries. */
  readonly boundSum: number;
}

interface Look {
  readonly observation: Observation;
  readonly chance: number;
  find(): Pending;
}

/** An observation counts as explained when its fit is at least this share of the best it could have. */
const EXPLAINED_RATIO = 0.03;
/** Explanations this much lighter than what is found already are counted as left out, not kept. */
const NEGLIGIBLE_RATIO = 1e-5;
/** A node costs one unit of work, and one more for every so many observations. */
const OBSERVATIONS_PER_WORK = 20;

/**
 * Finds the fault sets that explain the observations, likeliest first.
 *
 * Best-first over partial assignments. A node has decided some faults present or absent; its
 * children decide one more, so the leaves never overlap and their masses add up. Which fault to
 * decide next follows from an observation the present ones do not explain: for one that wants less
 * resistance, at least one short must cross every border between its points; for one that wants
 * more, at least one element of the easiest way must be open. When all of these are decided absent
 * the observation stays unexplained, at the price of a wrong reading.
 *
 * What lies below a node is bounded by a union bound: some fault on the border must be there, and
 * where it does not lead straight to the other side, something must lead on from it; a short across
 * points that read quiet pays for that. The node with the highest bound is expanded first.
 */
export function search(problem: Problem): SearchResult {
  return new Search(problem).run();
}

class Search {
  readonly #p: Problem;
  readonly #chances: Chances;
  readonly #completion: Completion;
  readonly #strong = new StrongSets();
  readonly #borders = new Map<string, { plain: Borders; fitted: Borders }>();
  readonly #spoils: ReadonlyMap<number, readonly number[]>;
  readonly #rootRatio: Float64Array;
  readonly #open = new Heap<{ node: Node; bound: number }>();
  readonly #found: Explanation[] = [];
  #foundMass = 0;
  #openBound = 0;
  #dropped = 0;
  #work = 0;

  constructor(problem: Problem) {
    this.#p = problem;
    this.#chances = new Chances(problem.universe);
    this.#completion = new Completion(problem.circuit, problem.universe);
    this.#spoils = spoilers(problem);
    this.#rootRatio = new Float64Array(problem.universe.faults.length).fill(1);
    for (const [id, spoilt] of this.#spoils) {
      for (const k of spoilt) this.#rootRatio[id]! *= this.#spoiltRatio(k);
    }
  }

  /** Fit of an observation once it is spoilt, over its best. */
  #spoiltRatio(observation: number): number {
    const { floor, best } = this.#p.observations[observation] as Observation;
    return Math.min(1, floor / best);
  }

  run(): SearchResult {
    const { searchBudget, leftOutRatio } = this.#p.settings;
    this.#settle(this.#root());
    while (this.#open.size > 0 && this.#work < searchBudget) {
      const left = this.#openBound + this.#dropped;
      if (left <= leftOutRatio * (this.#foundMass + left)) break;
      const top = this.#open.pop();
      if (top === undefined) break;
      this.#openBound = Math.max(0, this.#openBound - top.bound);
      this.#expand(top.node);
    }
    const explanations = this.#found.sort((x, y) => y.mass - x.mass);
    return {
      explanations,
      leftOutMass: this.#openBound + this.#dropped,
      expanded: this.#work,
    };
  }

  #root(): Node {
    return this.#evaluate(undefined, [], undefined, 1);
  }

  /** A node with its predictions, made anew where the last fault acts and taken over elsewhere. */
  #evaluate(
    before: Node | undefined,
    faults: readonly number[],
    decisions: Decision | undefined,
    chance: number,
  ): Node {
    const { circuit, universe, observations, meter, settings } = this.#p;
    const last = faults[faults.length - 1];
    const worlds = new Map<string, World>();
    const fits = new Float64Array(observations.length);
    const predictions = observations.map((observation, k) => {
      const acts = last === undefined || this.#bordersOf(observation).plain.acts[last] === 1;
      if (!acts && before !== undefined) {
        fits[k] = before.fits[k] as number;
        return before.predictions[k] as Prediction;
      }
      let world = worlds.get(observation.stateKey);
      if (world === undefined) {
        world = worldOf(circuit, universe, observation.state, faults);
        worlds.set(observation.stateKey, world);
      }
      const prediction = predict(world, observation.a, observation.b);
      fits[k] = observationFit(observation, prediction, meter, settings);
      return prediction;
    });
    this.#work += 1 + observations.length / OBSERVATIONS_PER_WORK;
    return { faults, decisions, chance, predictions, fits, given: new Set(), pending: undefined };
  }

  /** Chooses what to explain next in a node and queues it, or keeps it as an explanation. */
  #settle(node: Node): void {
    this.#chances.load(node.decisions);
    const given = new Set(node.given);
    const waiting = this.#p.observations
      .filter(({ index }) => !given.has(index))
      .filter((observation) => !this.#explained(node, observation))
      .map((observation) => this.#look(node, observation))
      .sort((x, y) => x.chance - y.chance);
    let best: Pending | undefined;
    for (const { observation, find } of waiting) {
      const pending = find();
      if (pending.tries.length > 0) {
        best = pending;
        break;
      }
      given.add(observation.index);
    }
    const settled: Node = { ...node, given, pending: best };
    if (best === undefined) this.#keep(settled);
    else this.#push(settled);
  }

  #explained(node: Node, observation: Observation): boolean {
    return (node.fits[observation.index] as number) >= EXPLAINED_RATIO * observation.best;
  }

  /** How likely anything could explain an observation, and a way to list what could. */
  #look(node: Node, observation: Observation): Look {
    const { circuit, universe, meter } = this.#p;
    const { a, b, state } = observation;
    const prediction = node.predictions[observation.index] as Prediction;
    const { way, limit } = wantedChange(observation, prediction, meter);
    const unspoilt = (k: number): boolean =>
      !node.given.has(k) && this.#explained(node, this.#p.observations[k] as Observation);
    const { plain, fitted } = this.#bordersOf(observation);
    const within: Surroundings = {
      world: worldOf(circuit, universe, state, node.faults),
      universe,
      chances: this.#chances,
      borders: plain,
      fitted: this.#p.observations.every(
        ({ index }) => index === observation.index || !this.#asksSilence(index) || unspoilt(index),
      )
        ? fitted
        : undefined,
      ratio: (id) => {
        let ratio = 1;
        for (const k of this.#spoils.get(id) ?? []) if (unspoilt(k)) ratio *= this.#spoiltRatio(k);
        return ratio;
      },
      banks: new Set(
        node.faults.map((id) => universe.faults[id]?.bank ?? -1).filter((k) => k >= 0),
      ),
      strong: this.#strong,
    };
    const list = (cut: Cut): Pending => ({
      observation: observation.index,
      tries: this.#order(cut, observation, limit),
      at: 0,
    });
    if (way === 'higher')
      return { observation, chance: 0, find: () => list(openCut(within, a, b, limit)) };
    if (a === b) return { observation, chance: 0, find: () => list(NOTHING) };
    const border = shortBorder(within, a, b, limit);
    return {
      observation,
      chance: border.chance,
      find: () => list(shortCut(within, border, limit)),
    };
  }

  #asksSilence(observation: number): boolean {
    for (const spoilt of this.#spoils.values()) if (spoilt.includes(observation)) return true;
    return false;
  }

  #bordersOf({ state, stateKey }: Observation): { plain: Borders; fitted: Borders } {
    let borders = this.#borders.get(stateKey);
    if (borders === undefined) {
      const { universe, circuit } = this.#p;
      const count = circuit.board.nets.length;
      const none = new Float64Array(universe.faults.length).fill(1);
      borders = {
        plain: new Borders(universe, state, count, none),
        fitted: new Borders(universe, state, count, this.#rootRatio),
      };
      this.#borders.set(stateKey, borders);
    }
    return borders;
  }

  /** Candidates by the chance of the explanation they lead to, with the sums that bound the rest. */
  #order(cut: Cut, observation: Observation, limit: number): Try[] {
    const scored = cut.candidates
      .filter((candidate) => candidate.chance > 0)
      .map((candidate) => ({
        candidate,
        score:
          candidate.chance *
          candidate.ratio *
          this.#completion.chance(candidate, observation, cut.farPoint, limit),
      }))
      .sort((x, y) => y.score - x.score || x.candidate.fault - y.candidate.fault);
    const tries: Try[] = new Array(scored.length);
    let boundSum = 0;
    for (let k = scored.length - 1; k >= 0; k--) {
      const { candidate, score } = scored[k] as { candidate: Candidate; score: number };
      boundSum += candidate.bound;
      tries[k] = { candidate, score, boundSum };
    }
    return tries;
  }

  #push(node: Node): void {
    const bound = this.#bound(node);
    if (bound < NEGLIGIBLE_RATIO * this.#foundMass) {
      this.#dropped += bound;
      return;
    }
    this.#openBound += bound;
    this.#open.push(bound, { node, bound });
  }

  /** Bound on the mass of everything below a node. */
  #bound(node: Node): number {
    const { pending } = node;
    const around = this.#around(node);
    const next = pending?.tries[pending.at];
    if (pending === undefined || next === undefined) return around;
    const unexplained = node.fits[pending.observation] as number;
    const best = this.#best(pending);
    return around * Math.min(best, unexplained + best * Math.min(1, next.boundSum));
  }

  #expand(node: Node): void {
    const { pending } = node;
    const next = pending?.tries[pending.at];
    if (pending === undefined || next === undefined) return;
    const { fault } = next.candidate;
    this.#chances.load(node.decisions);
    const chance = this.#chances.of(fault);
    this.#work += 0.02;
    const below = this.#around(node) * next.candidate.bound * this.#best(pending);
    if (below < NEGLIGIBLE_RATIO * this.#foundMass) this.#dropped += below;
    else if (chance > 0) {
      const present: Decision = { before: node.decisions, fault, present: true };
      this.#settle(this.#evaluate(node, [...node.faults, fault], present, node.chance * chance));
    }
    const absent: Node = {
      ...node,
      decisions: { before: node.decisions, fault, present: false },
      chance: node.chance * (1 - chance),
      pending: { ...pending, at: pending.at + 1 },
    };
    if (pending.at + 1 < pending.tries.length) this.#push(absent);
    else
      this.#settle({
        ...absent,
        pending: undefined,
        given: new Set([...node.given, pending.observation]),
      });
  }

  #best(pending: Pending): number {
    return (this.#p.observations[pending.observation] as Observation).best;
  }

  /** Chance of a node times the fit, or the best possible fit, of all but its pending observation. */
  #around(node: Node): number {
    let around = node.chance;
    for (const observation of this.#p.observations) {
      const k = observation.index;
      if (k === node.pending?.observation) continue;
      const settled = this.#explained(node, observation) || node.given.has(k);
      around *= settled ? (node.fits[k] as number) : observation.best;
    }
    return around;
  }

  #keep(node: Node): void {
    let mass = node.chance;
    for (const fit of node.fits) mass *= fit;
    this.#foundMass += mass;
    const { faults, decisions, predictions, fits } = node;
    this.#found.push({ faults, decisions, mass, predictions, fits });
  }
}
