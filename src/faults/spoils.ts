import type { NearShorts } from './near-shorts.ts';
import type { Observation } from './observation.ts';
import type { Problem } from './problem.ts';

/** Which faults would spoil which observations that ask for silence, and what that costs. */
export class Spoils {
  /** By fault: share of the fit of all observations that is left once it is there. */
  readonly rootRatio: Float64Array;
  readonly #spoils = new Map<number, number[]>();
  readonly #asking = new Set<number>();
  readonly #left: Float64Array;

  constructor(problem: Problem, near: NearShorts) {
    for (const observation of problem.observations) {
      if (!near.canSpoil(observation)) continue;
      for (const { id } of near.of(observation)) {
        const held = this.#spoils.get(id);
        if (held === undefined) this.#spoils.set(id, [observation.index]);
        else held.push(observation.index);
      }
    }
    this.#left = Float64Array.from(problem.observations, ({ floor, best }: Observation) =>
      Math.min(1, floor / best),
    );
    this.rootRatio = new Float64Array(problem.universe.faults.length).fill(1);
    for (const [id, spoilt] of this.#spoils) {
      for (const k of spoilt) this.#asking.add(k);
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
    for (const k of this.#spoils.get(fault) ?? []) {
      if (unspoilt(k)) ratio *= this.#left[k] as number;
    }
    return ratio;
  }
}
