import type { NearShorts } from './near-shorts.ts';
import type { Problem } from './problem.ts';

/** Which faults would spoil which observations that ask for silence, and what that costs. */
export class Spoils {
  /** By fault: share of the fit of all observations that is left once it is there. */
  readonly rootRatio: Float64Array;
  /** By fault. */
  readonly #spoils = new Map<number, { readonly observation: number; readonly left: number }[]>();
  readonly #asking = new Set<number>();

  constructor(problem: Problem, near: NearShorts) {
    for (const observation of problem.observations) {
      if (!near.canSpoil(observation)) continue;
      const { index, floor, best } = observation;
      for (const { id, aside } of near.of(observation)) {
        // With something open on the way to it, the fault spoils nothing.
        const spoilt = { observation: index, left: Math.min(1, floor / best + aside) };
        const held = this.#spoils.get(id);
        if (held === undefined) this.#spoils.set(id, [spoilt]);
        else held.push(spoilt);
      }
    }
    this.rootRatio = new Float64Array(problem.universe.faults.length).fill(1);
    for (const [id, spoilt] of this.#spoils) {
      for (const { observation } of spoilt) this.#asking.add(observation);
      this.rootRatio[id] = this.ratio(id, () => true);
    }
  }

  /** True when some fault could spoil the observation. */
  asksSilence(observation: number): boolean {
    return this.#asking.has(observation);
  }

  /** Share of the fit that is left once a fault is there, of the observations still `unspoilt`. */
  ratio(fault: number, unspoilt: (observation: number) => boolean): number {
    let ratio = 1;
    for (const { observation, left } of this.#spoils.get(fault) ?? []) {
      if (unspoilt(observation)) ratio *= left;
    }
    return ratio;
  }
}
