import { isOpened, type NearShort, type NearShorts, openOf } from './near-shorts.ts';
import type { Problem } from './problem.ts';

/** One observation that a fault would spoil. */
interface Spoilt {
  readonly observation: number;
  readonly by: NearShort;
  /** Bound on the share of its fit that is left. */
  readonly left: number;
}

/** Which faults would spoil which observations that ask for silence, and what that costs. */
export class Spoils {
  /** By fault: share of the fit of all observations that is left once it is there, nothing decided. */
  readonly rootRatio: Float64Array;
  readonly #problem: Problem;
  readonly #spoils = new Map<number, Spoilt[]>();
  readonly #asking = new Set<number>();

  constructor(problem: Problem, near: NearShorts) {
    this.#problem = problem;
    for (const observation of problem.observations) {
      if (!near.canSpoil(observation)) continue;
      const { index, shortFit, best } = observation;
      for (const by of near.of(observation)) {
        // With something open on the way to it, the fault spoils nothing.
        const left = Math.min(1, shortFit / best + openOf(by.ways) + by.open);
        const spoilt = { observation: index, by, left };
        const held = this.#spoils.get(by.id);
        if (held === undefined) this.#spoils.set(by.id, [spoilt]);
        else held.push(spoilt);
      }
    }
    this.rootRatio = problem.workspace.ones.borrow(problem.universe.faults.length);
    for (const [id, spoilt] of this.#spoils) {
      for (const { observation } of spoilt) this.#asking.add(observation);
      this.rootRatio[id] = this.ratio(id, () => true, []);
    }
  }

  /** Gives back what was borrowed; it is of no use after that. */
  release(): void {
    for (const id of this.#spoils.keys()) this.rootRatio[id] = 1;
    this.#problem.workspace.ones.giveBack(this.rootRatio);
  }

  /** True when some fault could spoil the observation. */
  asksSilence(observation: number): boolean {
    return this.#asking.has(observation);
  }

  /** Of some faults, those that open something and so may keep others from spoiling. */
  opening(faults: readonly number[]): readonly number[] {
    return faults.filter((id) => {
      const fault = this.#problem.universe.faults[id];
      return fault?.what === 'joint' || fault?.opensPart === true;
    });
  }

  /**
   * Share of the fit that is left once a fault is there, of the observations still `unspoilt`.
   * @param opened faults decided to be there that open something
   */
  ratio(
    fault: number,
    unspoilt: (observation: number) => boolean,
    opened: readonly number[],
  ): number {
    let ratio = 1;
    for (const { observation, by, left } of this.#spoils.get(fault) ?? []) {
      if (unspoilt(observation) && !this.#isKeptOff(by, opened)) ratio *= left;
    }
    return ratio;
  }

  #isKeptOff({ id, ways }: NearShort, opened: readonly number[]): boolean {
    if (opened.length === 0) return false;
    if (ways.some((way) => isOpened(way, opened))) return true;
    const { faults } = this.#problem.universe;
    const pins = faults[id]?.branches.flatMap(({ pinA, pinB }) => [pinA, pinB]) ?? [];
    return opened.some(
      (open) => pins.includes(faults[open]?.pin ?? -1) && faults[open]?.pin !== -1,
    );
  }
}
