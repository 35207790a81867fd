import { Chances, type Decision } from './chances.ts';
import { Exchange } from './exchange.ts';
import { Explaining, isExplained, mostUnexplained, type Pending, withSums } from './explaining.ts';
import { Frontier } from './frontier.ts';
import { Hopes } from './hopes.ts';
import type { NearShorts } from './near-shorts.ts';
import type { Observation } from './observation.ts';
import type { Explanation, Problem } from './problem.ts';
import { leadsTo, type Node } from './search-node.ts';
import type { Progress, Sliced } from './sliced.ts';
import { foresee, workOf } from './standing.ts';

export interface SearchResult {
  readonly explanations: readonly Explanation[];
  /** Upper bound on the mass of everything that was not reached. */
  readonly leftOutMass: number;
  readonly expanded: number;
  /** Somebody did not want to wait for the rest. */
  readonly isStopped: boolean;
}

/** Explanations this much lighter than what is found already are counted as left out, not kept. */
const NEGLIGIBLE_RATIO = 1e-5;
/** A fault is tried for an observation when explaining it this way makes at least this much of leaving it wrong. */
const TELLING_RATIO = 0.03;
/** A list of this many faults to try is a unit of work: on a board of thousands of parts a beep may mean any of them. */
const TRIES_PER_WORK = 400;
/** Work of looking for what is to be explained next. */
const SETTLING_WORK = 0.1;
/** After so much work without an explanation that makes sense, heavy sets are looked for by exchange… */
const LOST_WORK = 100;
/** …and at the end, where this share of the weight may be left out. */
const HARD_SHARE = 0.5;
/** So many of the heaviest explanations found by then are where it starts. */
const MOST_STARTS = 2;
/** An explanation that adds this share to what is found keeps the search going. */
const GAIN_RATIO = 0.005;
/** After so much work it may be stopped. */
const SLICE_WORK = 1;

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
 * points that read quiet pays for that.
 */
export function search(problem: Problem, near: NearShorts): Sliced<SearchResult> {
  return new Search(problem, near).run();
}

class Search {
  readonly #p: Problem;
  readonly #chances: Chances;
  readonly #explaining: Explaining;
  readonly #open = new Frontier<Node>();
  readonly #found: Explanation[] = [];
  readonly #hopes: Hopes;
  #foundMass = 0;
  /** An explanation was found under which no reading is wrong. */
  #foundSense = false;
  #dropped = 0;
  #lastGain = 0;
  #work = 0;
  /** The set of faults that nodes are followed towards, and the node that leads on to it. */
  #aim: ReadonlySet<number> | undefined;
  #aimed: Node | undefined;
  #hasExchanged = false;
  #exchangeWork = 0;
  #pauseAt = SLICE_WORK;

  constructor(problem: Problem, near: NearShorts) {
    this.#p = problem;
    this.#chances = new Chances(problem.universe, problem.workspace);
    this.#explaining = new Explaining(problem, near, this.#chances);
    this.#hopes = new Hopes(problem.observations);
  }

  *run(): Sliced<SearchResult> {
    const { searchBudget, leftOutRatio, idleBudget } = this.#p.settings;
    let isStopped = false;
    const root = this.#evaluate(undefined, [], undefined, 1);
    this.#guessHopes(root);
    this.#settle(root);
    while (this.#open.size > 0) {
      const left = this.#open.boundSum + this.#dropped;
      const all = this.#foundMass + left;
      if (left <= leftOutRatio * all) break;
      const isSpent =
        this.#work >= this.#budget(searchBudget) ||
        (this.#foundSense && this.#work - this.#lastGain > idleBudget);
      const isHard = isSpent ? left > HARD_SHARE * all : this.#isLost;
      if (isHard && !this.#hasExchanged) {
        isStopped = yield* this.#exchange();
      } else if (isSpent) break;
      else {
        const node = this.#open.pop(!this.#foundSense);
        if (node === undefined) break;
        this.#expand(node);
        isStopped = yield* this.#pause();
      }
      if (isStopped) break;
    }
    this.#chances.release();
    this.#explaining.release();
    const explanations = this.#found.sort((x, y) => y.mass - x.mass);
    return {
      explanations,
      leftOutMass: this.#open.boundSum + this.#dropped,
      expanded: this.#work + this.#exchangeWork,
      isStopped,
    };
  }

  /** Nothing found so far makes sense, although it was looked for long. */
  get #isLost(): boolean {
    return !this.#foundSense && this.#work >= LOST_WORK;
  }

  /** Looks for heavy sets of faults by exchange, and opens the nodes that lead to them. */
  *#exchange(): Sliced<boolean> {
    this.#hasExchanged = true;
    const heaviest = [...this.#found].sort((x, y) => y.mass - x.mass).slice(0, MOST_STARTS);
    const starts = [[], ...heaviest.map(({ faults }) => faults)];
    const exchange = new Exchange(this.#p, this.#explaining, this.#chances);
    const climbing = exchange.run(starts);
    for (let at = climbing.next(); at.done !== true; at = climbing.next()) {
      this.#exchangeWork = exchange.work;
      if (yield* this.#pause()) return true;
    }
    this.#exchangeWork = exchange.work;
    for (const faults of exchange.heaviest()) this.#dive(new Set(faults));
    return false;
  }

  /** Opens the node that leads to a set of faults, and so on down to the explanation that holds it. */
  #dive(aim: ReadonlySet<number>): void {
    this.#aim = aim;
    let node = this.#open.take((one) => leadsTo(one, aim));
    for (; node !== undefined; node = this.#aimed) {
      this.#aimed = undefined;
      this.#expand(node);
    }
    this.#aim = undefined;
  }

  /** Tells how far it has come, now and then; true when nobody wants to wait for the rest. */
  *#pause(): Sliced<boolean> {
    const work = this.#work + this.#exchangeWork;
    if (work < this.#pauseAt) return false;
    this.#pauseAt = work + SLICE_WORK;
    const left = this.#open.boundSum + this.#dropped;
    const isEnough = yield this.#progress(this.#budget(this.#p.settings.searchBudget), left);
    return isEnough && this.#found.length > 0; // no answer at all would help nobody
  }

  #progress(mostWork: number, left: number): Progress {
    const all = this.#foundMass + left;
    return { work: this.#work, mostWork, leftOut: all > 0 ? left / all : 0 };
  }

  /** A search that has found nothing yet goes on for longer: no answer is worse than a late one. */
  #budget(usual: number): number {
    return this.#found.length > 0 ? usual : 8 * usual;
  }

  #guessHopes(root: Node): void {
    this.#chances.load(undefined);
    for (const observation of this.#p.observations) {
      if (isExplained(root, observation)) continue;
      this.#hopes.learn(observation.index, this.#explaining.look(root, observation).hopes());
    }
  }

  /** A node with its predictions, made anew where the last fault acts and taken over elsewhere. */
  #evaluate(
    before: Node | undefined,
    faults: readonly number[],
    decisions: Decision | undefined,
    chance: number,
  ): Node {
    const { universe, outcomes } = this.#p;
    const last = faults[faults.length - 1];
    const fault = last === undefined ? undefined : universe.faults[last];
    const name = fault === undefined ? '' : outcomes.name(before?.name ?? '', fault);
    const foreseen = foresee(this.#p, faults, name, before, last);
    this.#work += workOf(foreseen);
    const given: ReadonlySet<number> = new Set();
    return { ...foreseen, decisions, chance, given, pending: undefined };
  }

  /** Chooses what to explain next in a node and queues it, or keeps it as an explanation. */
  #settle(node: Node): void {
    this.#chances.load(node.decisions);
    const given = new Set(node.given);
    const waiting = this.#p.observations
      .filter(({ index }) => !given.has(index))
      .filter((observation) => !isExplained(node, observation))
      .map((observation) => this.#explaining.look(node, observation))
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
    if (best === undefined) this.#keep({ ...node, given, pending: undefined });
    else this.#branch({ ...node, given }, best);
  }

  /**
   * Two ways on: none of the faults to try is there, and the observation stays unexplained; or some are,
   * one after the other. A fault that explains next to nothing is not decided: it may be there all the
   * same.
   */
  #branch(node: Node, all: Pending): void {
    const { observation, leftOut } = all;
    this.#work += all.tries.length / TRIES_PER_WORK + all.work;
    const around = this.#around({ ...node, pending: all }).bound;
    const { best } = this.#p.observations[observation] as Observation;
    this.#dropped += around * best * leftOut;
    const unexplained = node.fits[observation] as number;
    const least = (NEGLIGIBLE_RATIO * this.#foundMass) / around;
    const tries = all.tries.filter(({ candidate: { bound, chance } }) => {
      const explained = bound * best;
      if (explained >= least && explained >= TELLING_RATIO * chance * unexplained) return true;
      this.#dropped += around * explained;
      return false;
    });
    const given = new Set([...node.given, observation]);
    let { decisions } = node;
    for (const { candidate } of tries) {
      decisions = { before: decisions, fault: candidate.fault, present: false };
    }
    const none = this.#chances.ofNone(tries.map(({ candidate }) => candidate.fault));
    const chance = node.chance * none;
    if (chance > 0) this.#push({ ...node, given, decisions, chance, pending: undefined });
    const isWhole = tries.length === all.tries.length;
    const pending = isWhole ? all : { ...all, tries: withSums(tries) };
    if (tries.length > 0) this.#push({ ...node, pending });
  }

  #push(node: Node): void {
    const { rank, bound } = this.#rank(node);
    if (bound < NEGLIGIBLE_RATIO * this.#foundMass) {
      this.#dropped += bound;
      return;
    }
    if (this.#aim !== undefined && leadsTo(node, this.#aim)) this.#aimed = node;
    else this.#open.push(node, rank, bound);
  }

  /** Mass of the likeliest completion of a node, and a bound on everything below it. */
  #rank(node: Node): { rank: number; bound: number } {
    const { pending } = node;
    const around = this.#around(node);
    const next = pending?.tries[pending.at];
    if (pending === undefined || next === undefined) {
      return { rank: around.guess * this.#hopes.of(around.open), bound: around.bound };
    }
    const { best, unexplained } = this.#fitsOf(node, pending);
    const explained = best * Math.min(1, next.boundSum);
    const bound = Math.min(best, explained + unexplained * Math.min(1, next.chanceSum));
    const rest = this.#hopes.of(around.open, next.candidate.fault);
    const rank = best * Math.min(1, next.score) * rest;
    return { rank: around.guess * rank, bound: around.bound * bound };
  }

  #expand(node: Node): void {
    const { pending } = node;
    const next = pending?.tries[pending.at];
    if (pending === undefined || next === undefined) {
      this.#work += SETTLING_WORK;
      this.#settle(node);
      return;
    }
    const { fault, bound } = next.candidate;
    this.#chances.load(node.decisions);
    const chance = this.#chances.of(fault);
    this.#work += 0.02;
    const { best, unexplained } = this.#fitsOf(node, pending);
    const below = this.#around(node).bound * (bound * best + chance * unexplained);
    if (below < NEGLIGIBLE_RATIO * this.#foundMass) this.#dropped += below;
    else if (chance > 0) {
      const present: Decision = { before: node.decisions, fault, present: true };
      this.#settle(this.#evaluate(node, [...node.faults, fault], present, node.chance * chance));
    }
    if (pending.at + 1 === pending.tries.length) return;
    this.#push({
      ...node,
      decisions: { before: node.decisions, fault, present: false },
      chance: node.chance * (1 - chance),
      pending: { ...pending, at: pending.at + 1 },
    });
  }

  /** Best fit of the observation being explained, and the most it has while nothing explains it. */
  #fitsOf(node: Node, { observation }: Pending): { best: number; unexplained: number } {
    const one = this.#p.observations[observation] as Observation;
    return { best: one.best, unexplained: mostUnexplained(one, node.fits[observation] as number) };
  }

  /**
   * Chance of a node times the fit, or the best possible fit, of all but its pending observation; the
   * same as a guess at what is there; and the observations still to be explained beside that one.
   */
  #around(node: Node): { bound: number; guess: number; open: number[] } {
    let bound = node.chance;
    let guess = node.chance;
    const open: number[] = [];
    for (const observation of this.#p.observations) {
      const k = observation.index;
      if (k === node.pending?.observation) continue;
      const fit = node.fits[k] as number;
      if (node.given.has(k)) {
        bound *= mostUnexplained(observation, fit);
        guess *= fit;
        continue;
      }
      bound *= observation.best; // what is explained may fit better yet
      const isOpen = !isExplained(node, observation);
      guess *= isOpen ? observation.best : fit;
      if (isOpen) open.push(k);
    }
    return { bound, guess, open };
  }

  #keep(node: Node): void {
    let mass = node.chance;
    for (const fit of node.fits) mass *= fit;
    this.#foundMass += mass;
    if (mass > GAIN_RATIO * this.#foundMass) this.#lastGain = this.#work;
    if (node.given.size === 0) this.#foundSense = true;
    const { faults, name, decisions, predictions, fits } = node;
    this.#found.push({ faults, accused: faults, name, decisions, mass, predictions, fits });
  }
}
