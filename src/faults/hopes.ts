import type { Observation } from './observation.ts';

/** A fault that would explain an observation, and the chance of the explanation it leads to. */
export interface Hope {
  readonly fault: number;
  readonly chance: number;
}

/** Of the faults that would explain an observation so many of the likeliest are remembered. */
const MOST_KEPT = 64;

/**
 * A guess at how likely what is not explained yet can be explained at best, all of it at once: one
 * fault may do so for many observations, and is to be paid for once. Nothing but the order of a
 * search depends on it.
 */
export class Hopes {
  /** By observation: fit of one that stays unexplained over the best fit. */
  readonly #given: Float64Array;
  /** By observation: chance of the likeliest explanation of it alone, leaving it wrong among them. */
  readonly #alone: Float64Array;
  /** By observation: what would explain it on the board as nothing is decided. */
  readonly #leads: ReadonlyMap<number, number>[];
  readonly #known = new Map<string, number>();

  constructor(observations: readonly Observation[]) {
    this.#given = Float64Array.from(observations, ({ floor, best }) => floor / best);
    this.#alone = Float64Array.from(this.#given);
    this.#leads = observations.map(() => new Map());
  }

  /** Takes in what would explain an observation. */
  learn(observation: number, hopes: readonly Hope[]): void {
    const kept = likeliest(hopes).sort((x, y) => y.chance - x.chance || x.fault - y.fault);
    this.#leads[observation] = new Map(
      kept.slice(0, MOST_KEPT).map(({ fault, chance }) => [fault, chance]),
    );
    const best = Math.min(1, kept[0]?.chance ?? 0);
    this.#alone[observation] = Math.max(this.#given[observation] as number, best);
  }

  /**
   * Chance of the likeliest explanation of some observations, found greedily from the hardest on.
   * @param given a fault that is there already; what it explains costs nothing
   */
  of(observations: readonly number[], given?: number): number {
    const open = observations.filter((k) => given === undefined || !this.#leads[k]?.has(given));
    if (open.length === 0) return 1;
    const key = open.join();
    let chance = this.#known.get(key);
    if (chance === undefined) {
      chance = this.#cover(open);
      this.#known.set(key, chance);
    }
    return chance;
  }

  #cover(observations: readonly number[]): number {
    const alone = (k: number): number => this.#alone[k] as number;
    let open = [...observations].sort((x, y) => alone(x) - alone(y) || x - y);
    let product = 1;
    for (let first = open[0]; first !== undefined; first = open[0]) {
      let chance = this.#given[first] as number;
      let most = chance / alone(first);
      let by = -1;
      for (const [fault, own] of this.#leads[first] ?? []) {
        let worth = Math.min(1, own);
        for (const k of open) if (this.#leads[k]?.has(fault)) worth /= alone(k);
        if (worth > most) {
          most = worth;
          by = fault;
          chance = Math.min(1, own);
        }
      }
      product *= chance;
      open = open.filter((k) => k !== first && (by < 0 || !this.#leads[k]?.has(by)));
    }
    return product;
  }
}

/** Of some hopes those that could be among the first {@link MOST_KEPT}; a large board has thousands. */
function likeliest(hopes: readonly Hope[]): Hope[] {
  if (hopes.length <= MOST_KEPT) return [...hopes];
  const chances = Float64Array.from(hopes, ({ chance }) => chance).sort();
  const least = chances[chances.length - MOST_KEPT] as number;
  return hopes.filter(({ chance }) => chance >= least);
}
