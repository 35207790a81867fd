import { cholesky, type Foreseen, quadratic } from '../../faults/copper/gauss.ts';
import type { CopperSuspect } from './copper-suspects.ts';

/** What a search by taking parts out costs, by suspect. */
export interface SearchCost {
  /** Minutes when it was not the culprit, and beyond the repair when it was. */
  readonly wasted: number;
  readonly ahead: number;
}

/** A suspect with what the readings asked about would be if it were the culprit. */
export interface Foreseeing extends CopperSuspect, SearchCost {
  readonly foreseen: Foreseen;
}

/** What a reading leaves to be expected. */
export interface Narrowed {
  /** Minutes of search. */
  readonly minutes: number;
  /** Nats of doubt about which it is. */
  readonly doubt: number;
}

/** Three points that stand for a Gaussian: Gauss and Hermite's. */
const NODES = [
  [-Math.sqrt(3), 1 / 6],
  [0, 2 / 3],
  [Math.sqrt(3), 1 / 6],
] as const;
/** Suspects lighter than this are not taken for the true one in turn. */
const LEAST_WEIGHT = 0.004;

/** Expected search minutes and doubt after one of the readings. */
export function afterOne(suspects: readonly Foreseeing[], k: number): Narrowed {
  const search = new Search(suspects);
  const means = Float64Array.from(suspects, ({ foreseen }) => foreseen.mean[k] as number);
  const deviations = Float64Array.from(suspects, ({ foreseen: { mean, covariance } }) =>
    Math.sqrt(covariance[k * mean.length + k] as number),
  );
  const weights = new Float64Array(suspects.length);
  const expected = new Expected();
  suspects.forEach(({ weight }, h) => {
    if (weight < LEAST_WEIGHT) return;
    for (const [x, share] of NODES) {
      const value = (means[h] as number) + x * (deviations[h] as number);
      for (let j = 0; j < weights.length; j++) {
        const sd = deviations[j] as number;
        const z = (value - (means[j] as number)) / sd;
        weights[j] = ((suspects[j] as Foreseeing).weight * Math.exp(-0.5 * z * z)) / sd;
      }
      expected.add(search.narrowed(weights), weight * share);
    }
  });
  return expected.mean;
}

/** A mean of what may be left. */
class Expected {
  #minutes = 0;
  #doubt = 0;
  #whole = 0;

  add({ minutes, doubt }: Narrowed, share: number): void {
    this.#minutes += share * minutes;
    this.#doubt += share * doubt;
    this.#whole += share;
  }

  get mean(): Narrowed {
    return { minutes: this.#minutes / this.#whole, doubt: this.#doubt / this.#whole };
  }
}

/** The same after several readings, from a few draws of what they may be. */
export function afterSeveral(
  suspects: readonly Foreseeing[],
  some: readonly number[],
  noise: () => number,
): Narrowed {
  const m = some.length;
  const own = suspects.map(({ foreseen: { mean, covariance } }) => {
    const all = mean.length;
    const s = new Float64Array(m * m);
    some.forEach((r, x) => {
      some.forEach((c, y) => {
        s[x * m + y] = covariance[r * all + c] as number;
      });
      s[x * m + x]! *= 1 + 1e-9;
    });
    return { mean: some.map((k) => mean[k] as number), factor: cholesky(s, m, s) };
  });
  const search = new Search(suspects);
  const weights = new Float64Array(suspects.length);
  const error = new Float64Array(m);
  const expected = new Expected();
  suspects.forEach(({ weight }, h) => {
    if (weight < LEAST_WEIGHT) return;
    for (let draw = 0; draw < DRAWS; draw++) {
      const { mean, factor } = own[h] as (typeof own)[number];
      const loose = some.map(noise);
      const values = mean.map((value, r) => {
        let sum = value;
        for (let c = 0; c <= r; c++)
          sum += (factor.lower[r * m + c] as number) * (loose[c] as number);
        return sum;
      });
      for (let j = 0; j < weights.length; j++) {
        const other = own[j] as (typeof own)[number];
        for (let r = 0; r < m; r++) error[r] = (values[r] as number) - (other.mean[r] as number);
        const misfit = quadratic(other.factor, error) + other.factor.logDet;
        weights[j] = Math.log((suspects[j] as Foreseeing).weight) - 0.5 * misfit;
      }
      const most = weights.reduce((x, y) => Math.max(x, y));
      for (let j = 0; j < weights.length; j++) weights[j] = Math.exp((weights[j] as number) - most);
      expected.add(search.narrowed(weights), weight);
    }
  });
  return expected.mean;
}

const DRAWS = 2;

/** Lighter suspects, of all weight, are left out of a search. */
const LEAST_SHARE = 1e-9;

/** Trying one suspect after the other, those with most weight for their minutes first (W. E. Smith, 1956). */
export class Search {
  readonly #wasted: Float64Array;
  readonly #ahead: Float64Array;
  /** Those not left out, in order of the last question: the next one's is much like it. */
  readonly #order: Int32Array;
  readonly #minutesPerWeight: Float64Array;

  constructor(costs: readonly SearchCost[]) {
    this.#wasted = Float64Array.from(costs, ({ wasted }) => wasted);
    this.#ahead = Float64Array.from(costs, ({ ahead }) => ahead);
    this.#order = Int32Array.from(costs, (_, k) => k);
    this.#minutesPerWeight = new Float64Array(costs.length);
  }

  /** @param weights of the suspects, in any unit */
  narrowed(weights: Float64Array): Narrowed {
    const count = weights.length;
    let total = 0;
    for (let k = 0; k < count; k++) total += weights[k] as number;
    let doubt = 0;
    for (let k = 0; k < count; k++) {
      const weight = (weights[k] as number) / total;
      const isTried = weight > LEAST_SHARE;
      if (isTried) doubt -= weight * Math.log(weight);
      this.#minutesPerWeight[k] = isTried ? (this.#wasted[k] as number) / weight : Infinity;
    }
    this.#sort();
    let spent = 0;
    let minutes = 0;
    for (let place = 0; place < count; place++) {
      const k = this.#order[place] as number;
      const weight = (weights[k] as number) / total;
      if (!(weight > LEAST_SHARE)) break;
      const next = this.#order[place + 1];
      const isLast = next === undefined || !((weights[next] as number) / total > LEAST_SHARE);
      minutes += weight * (spent + (isLast ? 0 : (this.#ahead[k] as number)));
      spent += this.#wasted[k] as number;
    }
    return { minutes, doubt };
  }

  #sort(): void {
    const order = this.#order;
    const keys = this.#minutesPerWeight;
    for (let n = 1; n < order.length; n++) {
      const k = order[n] as number;
      const key = keys[k] as number;
      let at = n;
      for (; at > 0; at--) {
        const before = order[at - 1] as number;
        const own = keys[before] as number;
        if (own < key || (own === key && before < k)) break;
        order[at] = before;
      }
      order[at] = k;
    }
  }
}
