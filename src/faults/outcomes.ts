import type { Prediction } from '../circuit/likelihood.ts';
import type { Fault } from './fault.ts';
import type { Observation } from './observation.ts';

/** What observations would read under one set of faults, and how well that fits; as far as worked out. */
export class Outcome {
  readonly #predictions: (Prediction | undefined)[] = [];
  readonly #fits: number[] = [];

  /** Undefined: not worked out yet. */
  prediction(observation: number): Prediction | undefined {
    return this.#predictions[observation];
  }

  /** Of an observation that has a prediction. */
  fit(observation: number): number {
    return this.#fits[observation] as number;
  }

  take(observation: number, prediction: Prediction, fit: number): void {
    this.#predictions[observation] = prediction;
    this.#fits[observation] = fit;
  }
}

/** How many predictions are kept at most, twice over. */
const MOST_KEPT = 8e5;

/**
 * Keeps outcomes from one step of a job to the next: all readings but the last are the same, and
 * most sets of faults too. Fault sets and observations go by what they say, not by their numbers in
 * one universe. Asking for an outcome again gives what working it out again would.
 */
export class Outcomes {
  readonly #observations = new Map<string, number>();
  readonly #faults = new Map<string, number>();
  #names = new WeakMap<Fault, number>();
  #young = new Map<string, Outcome>();
  #old: ReadonlyMap<string, Outcome> = new Map();

  /** Numbers of observations, by place in the list; what no longer stands in a job is forgotten in time. */
  number(observations: readonly Observation[]): Int32Array {
    if (this.#observations.size > 2 * observations.length + 16) this.#forget();
    return Int32Array.from(observations, ({ content }) => numberIn(this.#observations, content));
  }

  /** Names the set of faults that has one more than the set named `before`; '' names the empty set. */
  name(before: string, fault: Fault): string {
    let number = this.#names.get(fault);
    if (number === undefined) {
      number = numberIn(this.#faults, contentOf(fault));
      this.#names.set(fault, number);
    }
    return `${before},${number}`;
  }

  of(name: string): Outcome {
    let outcome = this.#young.get(name);
    if (outcome !== undefined) return outcome;
    if (this.#young.size * Math.max(1, this.#observations.size) > MOST_KEPT) {
      this.#old = this.#young;
      this.#young = new Map();
    }
    outcome = this.#old.get(name) ?? new Outcome();
    this.#young.set(name, outcome);
    return outcome;
  }

  #forget(): void {
    this.#observations.clear();
    this.#faults.clear();
    this.#names = new WeakMap();
    this.#young = new Map();
    this.#old = new Map();
  }
}

function numberIn(numbers: Map<string, number>, content: string): number {
  let number = numbers.get(content);
  if (number === undefined) {
    number = numbers.size;
    numbers.set(content, number);
  }
  return number;
}

/** All of a fault that tells what a meter would read. */
function contentOf(fault: Fault): string {
  const { what, mode, members, piece, pin, nets, branches, spread, opensPart } = fault;
  const parts = members.map(({ part }) => part).join('.');
  const joins = branches.map(({ a, b, ohms, pinA, pinB }) => `${a}-${b}@${ohms}:${pinA}-${pinB}`);
  return `${what} ${mode} ${parts} ${piece} ${pin} ${nets?.join('-')} ${joins} ${spread} ${opensPart}`;
}
