import type { Beliefs, WeightedExplanation } from './beliefs.ts';
import type { DoubtfulReading, WrongSet } from './diagnosis.ts';

/** A reading counts as wrong under an explanation from this chance on. */
const WRONG_CHANCE = 0.5;

export function wrongIn(explanation: WeightedExplanation): number[] {
  return [...explanation.wrong].filter(([, chance]) => chance > WRONG_CHANCE).map(([id]) => id);
}

/** Sets of readings shown at most. */
const MOST_WRONG_SETS = 5;
/** Lighter ones say nothing worth a probe. */
const LEAST_WRONG_WEIGHT = 0.01;

/**
 * The smallest sets of readings that, if they were wrong, would leave the rest making sense, heaviest
 * first. A set that holds a smaller one of as much weight is left out.
 */
export function wrongSets({ explanations }: Beliefs): WrongSet[] {
  const byKey = new Map<string, { readings: number[]; weight: number }>();
  for (const explanation of explanations) {
    const readings = wrongIn(explanation).sort((x, y) => x - y);
    const key = readings.join(' ');
    const held = byKey.get(key);
    if (held === undefined) byKey.set(key, { readings, weight: explanation.weight });
    else held.weight += explanation.weight;
  }
  const sets = [...byKey.values()].filter(({ weight }) => weight >= LEAST_WRONG_WEIGHT);
  const isNeedless = (one: WrongSet, other: WrongSet): boolean =>
    other.weight >= one.weight &&
    other.readings.length < one.readings.length &&
    other.readings.every((id) => one.readings.includes(id));
  return sets
    .filter((one) => !sets.some((other) => isNeedless(one, other)))
    .filter(({ readings }) => readings.length > 0)
    .sort((x, y) => y.weight - x.weight || x.readings.length - y.readings.length)
    .slice(0, MOST_WRONG_SETS);
}

/** Readings that are wrong with more than this chance are worth taking again. */
const DOUBTFUL_WEIGHT = 0.1;

export function doubtfulReadings(beliefs: Beliefs): DoubtfulReading[] {
  const sums = new Map<number, number>();
  for (const explanation of beliefs.explanations) {
    for (const [id, chance] of explanation.wrong) {
      sums.set(id, (sums.get(id) ?? 0) + explanation.weight * chance);
    }
  }
  return [...sums]
    .map(([id, weight]) => ({ id, weight }))
    .filter(({ weight }) => weight >= DOUBTFUL_WEIGHT)
    .sort((x, y) => y.weight - x.weight || x.id - y.id);
}

/** Weight of all explanations under which some reading is wrong although nobody has taken it again. */
export function contradictionWeight(beliefs: Beliefs): number {
  const { observations } = beliefs.problem;
  let sum = 0;
  for (const explanation of beliefs.explanations) {
    const unexplained = observations.some(
      ({ index, floor, best }) => (explanation.fits[index] as number) < Math.sqrt(floor * best),
    );
    if (unexplained) sum += explanation.weight;
  }
  return sum;
}
