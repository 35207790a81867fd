import type { Prediction } from '../circuit/likelihood.ts';
import { observationFit } from './observation.ts';
import type { Explanation, Problem } from './problem.ts';
import { predict, Worlds } from './world.ts';

/** Faults taken to be there, and what would be read with them and no others. */
export interface Foreseen extends Pick<Explanation, 'faults' | 'name' | 'predictions' | 'fits'> {
  readonly worlds: Worlds;
  /** How many predictions it took. */
  readonly predicted: number;
}

/**
 * What every observation would read, and how well that fits.
 * @param name of the faults among the outcomes
 * @param near the same with one fault more or less, `changed`: where that does not act, nothing differs
 */
export function foresee(
  problem: Problem,
  faults: readonly number[],
  name: string,
  near?: Pick<Foreseen, 'predictions' | 'fits'>,
  changed?: number,
): Foreseen {
  const { circuit, universe, states, observations, outcomes, numbers, meter, settings } = problem;
  const outcome = outcomes.of(name);
  const worlds = new Worlds(circuit, universe, faults);
  const fits = new Float64Array(observations.length);
  let predicted = 0;
  const predictions = observations.map((observation, k) => {
    if (near !== undefined && changed !== undefined && states.at(observation).acts[changed] !== 1) {
      fits[k] = near.fits[k] as number;
      return near.predictions[k] as Prediction;
    }
    predicted++;
    const number = numbers[k] as number;
    const known = outcome.prediction(number);
    if (known !== undefined) {
      fits[k] = outcome.fit(number);
      return known;
    }
    const prediction = predict(worlds.of(observation), observation.a, observation.b);
    fits[k] = observationFit(observation, prediction, meter, settings);
    outcome.take(number, prediction, fits[k]);
    return prediction;
  });
  return { faults, name, worlds, predictions, fits, predicted };
}

/** One more unit of work for every so many predictions made. */
const PREDICTIONS_PER_WORK = 20;

/** Units of work that foreseeing took. */
export function workOf({ predicted }: Foreseen): number {
  return 0.5 + predicted / PREDICTIONS_PER_WORK;
}
