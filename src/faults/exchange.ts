import type { Chances, Decision } from './chances.ts';
import { type Explaining, isExplained, type Standing } from './explaining.ts';
import type { Fault } from './fault.ts';
import type { Hope } from './hopes.ts';
import type { Problem } from './problem.ts';
import { foresee, workOf } from './standing.ts';

/** A set of faults, all others undecided. */
interface Tried extends Standing {
  readonly name: string;
  /** Chance of its faults times the fit of every observation. */
  readonly mass: number;
}

/** Of the faults that could explain an observation so many are tried of those that promise most, and as many of the likeliest. */
const MOST_TRIED = 2;
/** So many are put in one after the other before the mass must have grown. */
const MOST_AHEAD = 2;
/** A fault is tried when it is guessed to multiply the mass by this at least. */
const LEAST_GAIN = 0.2;
/** A set is better when it weighs this many times as much. */
const BETTER_RATIO = 1.0001;
/** Units of work it takes at most. */
const MOST_WORK = 200;
/** Of the sets met those of at least this share of the heaviest are worth a search, and so many at most. */
const LEAST_SHARE = 1e-3;
const MOST_HEAVIEST = 24;
/** Work of guessing which faults could better a set. */
const GUESSING_WORK = 0.2;
const NONE_BARRED = -1;
const NO_GIVEN: ReadonlySet<number> = new Set();

/**
 * Looks for heavy sets of faults by exchange: from a set, takes one fault out, puts in what explains
 * the observations best without it, and goes on from there while the mass grows. It sees all
 * observations at once, where the search that goes by partial assignments sees one after the other and
 * loses itself when several of them are wrong. What it finds says where to search, and weighs nothing
 * by itself.
 */
export class Exchange {
  readonly #p: Problem;
  readonly #chances: Chances;
  readonly #explaining: Explaining;
  /** By faults, ascending. */
  readonly #known = new Map<string, Tried>();
  #work = 0;

  constructor(problem: Problem, explaining: Explaining, chances: Chances) {
    this.#p = problem;
    this.#explaining = explaining;
    this.#chances = chances;
  }

  /** Units of work done. */
  get work(): number {
    return this.#work;
  }

  /** Climbs from some sets, in slices; after that {@link heaviest} tells what was met. */
  *run(starts: readonly (readonly number[])[]): Generator<void, void, void> {
    for (const faults of starts) {
      let at: Tried | undefined = this.#completed(this.#set(faults), NONE_BARRED);
      while (at !== undefined && !this.#isSpent) {
        yield;
        at = yield* this.#better(at);
      }
    }
  }

  /** The heaviest sets met, heaviest first. */
  heaviest(): (readonly number[])[] {
    const all = [...this.#known.values()].sort((x, y) => y.mass - x.mass);
    const least = LEAST_SHARE * (all[0]?.mass ?? 0);
    return all
      .slice(0, MOST_HEAVIEST)
      .filter(({ mass }) => mass > 0 && mass >= least)
      .map(({ faults }) => faults);
  }

  get #isSpent(): boolean {
    return this.#work >= MOST_WORK;
  }

  /** The first set that is better for having lost a fault. */
  *#better(at: Tried): Generator<void, Tried | undefined, void> {
    for (const fault of at.faults) {
      if (this.#isSpent) return undefined;
      const without = at.faults.filter((id) => id !== fault);
      const other = this.#completed(this.#set(without, at, fault), fault);
      if (other.mass > at.mass * BETTER_RATIO) return other;
      yield;
    }
    return undefined;
  }

  /** A set with whatever makes it heavier, but for one fault. */
  #completed(start: Tried, barred: number): Tried {
    let at = start;
    while (!this.#isSpent) {
      const more = this.#withMore(at, barred, at.mass * BETTER_RATIO, MOST_AHEAD);
      if (more === undefined) break;
      at = this.#pruned(more);
    }
    return at;
  }

  /** Without the faults that make it lighter. */
  #pruned(start: Tried): Tried {
    let at = start;
    for (const fault of start.faults) {
      const without = this.#set(
        at.faults.filter((id) => id !== fault),
        at,
        fault,
      );
      if (without.mass > at.mass) at = without;
    }
    return at;
  }

  /** The heaviest of the sets with one fault more, or with a few where one alone does not do. */
  #withMore(at: Tried, barred: number, least: number, ahead: number): Tried | undefined {
    const tried = this.#gains(at, barred).map(({ fault, gain }) => ({
      gain,
      set: this.#set([...at.faults, fault], at, fault),
    }));
    const best = tried.reduce<Tried | undefined>(
      (held, { set }) => (set.mass > (held?.mass ?? 0) ? set : held),
      undefined,
    );
    if (best !== undefined && best.mass >= least) return best;
    const promising = tried.filter(({ gain }) => gain >= 1)[0];
    if (ahead <= 1 || promising === undefined || this.#isSpent) return undefined;
    return this.#withMore(promising.set, barred, least, ahead - 1);
  }

  /** The faults likeliest to make a set heavier, with a guess at how many times. */
  #gains(at: Tried, barred: number): { fault: number; gain: number }[] {
    const { observations } = this.#p;
    this.#work += GUESSING_WORK;
    this.#chances.load(decided(at.faults));
    const leads = observations
      .filter((observation) => !isExplained(at, observation))
      .map((observation) => ({
        better: observation.best / (at.fits[observation.index] as number),
        hopes: this.#explaining
          .look(at, observation)
          .hopes()
          .filter(({ fault }) => fault !== barred && this.#chances.isFree(fault)),
      }));
    const own = new Map<number, number>();
    for (const { fault, chance } of leads.flatMap(({ hopes }) => hopes)) {
      own.set(fault, Math.max(own.get(fault) ?? 0, chance));
    }
    const gains = new Map(own);
    for (const { better, hopes } of leads) {
      for (const { fault, chance } of hopes) {
        // Where it needs others beside it, those cost as much more than where it does not.
        const worth = (better * chance) / (own.get(fault) as number);
        gains.set(fault, (gains.get(fault) as number) * Math.max(1, worth));
      }
    }
    const gainOf = (fault: number): number => gains.get(fault) as number;
    // Guesses err where several faults are needed at once: the likeliest by itself is tried as well.
    const first = leads.flatMap(({ hopes }) => [
      ...foremost(hopes, ({ fault }) => gainOf(fault)),
      ...foremost(hopes, ({ chance }) => chance),
    ]);
    return [...new Set(first)]
      .map((fault) => ({ fault, gain: gainOf(fault) }))
      .filter(({ gain }) => gain >= LEAST_GAIN)
      .sort((x, y) => y.gain - x.gain || x.fault - y.fault);
  }

  /** @param near the same with one fault more or less, `changed` */
  #set(faults: readonly number[], near?: Tried, changed?: number): Tried {
    const inOrder = [...faults].sort((x, y) => x - y);
    const key = inOrder.join();
    const known = this.#known.get(key);
    if (known !== undefined) return known;
    const { outcomes, universe } = this.#p;
    const name = inOrder.reduce((so, id) => outcomes.name(so, universe.faults[id] as Fault), '');
    const foreseen = foresee(this.#p, inOrder, name, near, changed);
    this.#work += workOf(foreseen);
    this.#chances.load(decided(inOrder));
    let mass = this.#chances.ofDecisions();
    for (const fit of foreseen.fits) mass *= fit;
    const tried = { ...foreseen, given: NO_GIVEN, mass };
    this.#known.set(key, tried);
    return tried;
  }
}

function decided(faults: readonly number[]): Decision | undefined {
  let chain: Decision | undefined;
  for (const fault of faults) chain = { before: chain, fault, present: true };
  return chain;
}

/** The faults of a few hopes that come first. */
function foremost(hopes: readonly Hope[], rank: (hope: Hope) => number): number[] {
  return [...hopes]
    .sort((x, y) => rank(y) - rank(x) || x.fault - y.fault)
    .slice(0, MOST_TRIED)
    .map(({ fault }) => fault);
}
