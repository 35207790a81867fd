import { cholesky, type Foreseen, solve } from '../../faults/copper/gauss.ts';
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
  const means = suspects.map(({ foreseen }) => foreseen.mean[k] as number);
  const deviations = suspects.map(({ foreseen: { mean, covariance } }) =>
    Math.sqrt(covariance[k * mean.length + k] as number),
  );
  let [minutes, doubt, whole] = [0, 0, 0];
  suspects.forEach(({ weight }, h) => {
    if (weight < LEAST_WEIGHT) return;
    for (const [x, share] of NODES) {
      const value = (means[h] as number) + x * (deviations[h] as number);
      const weights = suspects.map((suspect, j) => {
        const sd = deviations[j] as number;
        const z = (value - (means[j] as number)) / sd;
        return (suspect.weight * Math.exp(-0.5 * z * z)) / sd;
      });
      const after = narrowed(suspects, weights);
      minutes += weight * share * after.minutes;
      doubt += weight * share * after.doubt;
      whole += weight * share;
    }
  });
  return { minutes: minutes / whole, doubt: doubt / whole };
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
    return { mean: some.map((k) => mean[k] as number), factor: cholesky(s, m) };
  });
  let [minutes, doubt, whole] = [0, 0, 0];
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
      const logs = suspects.map((suspect, j) => {
        const other = own[j] as (typeof own)[number];
        const error = Float64Array.from(values, (value, r) => value - (other.mean[r] as number));
        const pull = solve(other.factor, error);
        const quad = error.reduce((sum, e, r) => sum + e * (pull[r] as number), 0);
        return Math.log(suspect.weight) - 0.5 * (quad + other.factor.logDet);
      });
      const most = Math.max(...logs);
      const after = narrowed(
        suspects,
        logs.map((log) => Math.exp(log - most)),
      );
      minutes += weight * after.minutes;
      doubt += weight * after.doubt;
      whole += weight;
    }
  });
  return { minutes: minutes / whole, doubt: doubt / whole };
}

const DRAWS = 2;

/** Trying one suspect after the other, those with most weight for their minutes first (W. E. Smith, 1956). */
export function narrowed(costs: readonly SearchCost[], weights: readonly number[]): Narrowed {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  let doubt = 0;
  const rows = costs.flatMap(({ wasted, ahead }, k) => {
    const weight = (weights[k] as number) / total;
    if (!(weight > 1e-9)) return [];
    doubt -= weight * Math.log(weight);
    return [{ weight, wasted, ahead }];
  });
  rows.sort((x, y) => x.wasted * y.weight - y.wasted * x.weight);
  let [spent, minutes] = [0, 0];
  rows.forEach(({ weight, wasted, ahead }, k) => {
    minutes += weight * (spent + (k === rows.length - 1 ? 0 : ahead));
    spent += wasted;
  });
  return { minutes, doubt };
}
