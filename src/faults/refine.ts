import type { Prediction } from '../circuit/likelihood.ts';
import type { Chances, Decision } from './chances.ts';
import type { Fault } from './fault.ts';
import { Influence } from './influence.ts';
import { observationFit } from './observation.ts';
import type { Explanation, Problem } from './problem.ts';
import { predict, Worlds } from './world.ts';

/** What every observation would read, and how well it fits, if one more fault were there. */
function fitAll(
  problem: Problem,
  explanation: Explanation,
  influence: Influence,
  fault: Fault,
): { name: string; predictions: Prediction[]; fits: Float64Array } {
  const { circuit, universe, observations, outcomes, numbers, meter, settings } = problem;
  const faults = [...explanation.faults, fault.id];
  const name = `${explanation.name}+${outcomes.name('', fault)}`;
  const outcome = outcomes.of(name);
  const worlds = new Worlds(circuit, universe, faults);
  const fits = new Float64Array(observations.length);
  const predictions = observations.map((observation, k) => {
    const number = numbers[k] as number;
    const known = outcome.prediction(number);
    if (known !== undefined) {
      fits[k] = outcome.fit(number);
      return known;
    }
    let prediction = explanation.predictions[k] as Prediction;
    let fit = explanation.fits[k] as number;
    if (!influence.spares(fault, observation)) {
      prediction = predict(worlds.of(observation), observation.a, observation.b);
      fit = observationFit(observation, prediction, meter, settings);
    }
    outcome.take(number, prediction, fit);
    fits[k] = fit;
    return prediction;
  });
  return { name, predictions, fits };
}

/** Undecided faults below this chance are summed up one by one, never decided. */
const LEAST_CHANCE = 0.02;
/** A fault is decided when leaving it open would move the mass by more than this share… */
const LEAST_EFFECT = 0.002;
/** …or when it is so likely that it may well be there together with another. */
const LIKELY_CHANCE = 0.04;
/** A fault that lifts the fit by this much is accused by the observations, not just undecided. */
const ACCUSING_RATIO = 1.5;
/** How many further faults one explanation may take in. */
const MOST_DEPTH = 4;

/** What refining needs besides the explanation; made once for all of them. */
export interface RefineContext {
  readonly problem: Problem;
  readonly chances: Chances;
  /** Faults likely enough to be decided that act under the state of some observation. */
  readonly likely: readonly Fault[];
  readonly likeliest: number;
}

export function refineContext(problem: Problem, chances: Chances): RefineContext {
  const states = new Set(problem.observations.map((one) => problem.states.at(one)));
  const likely = problem.universe.faults.filter(
    (fault) =>
      (fault.chance[0] >= LEAST_CHANCE || fault.chance[1] >= LEAST_CHANCE) &&
      [...states].some(({ acts }) => acts[fault.id] === 1),
  );
  const likeliest = Math.max(0, ...likely.map(({ chance }) => chance[0]));
  return { problem, chances, likely, likeliest };
}

/**
 * Cuts an explanation into ones that also decide the undecided faults that matter: those likely
 * enough that two of them at once still carry weight. The cut-off parts do not overlap and their
 * masses add up to the mass of the whole, each with the fit it really has.
 * @param least explanations lighter than this are not cut further
 */
export function refine(
  context: RefineContext,
  explanation: Explanation,
  least: number,
  depth = 0,
): Explanation[] {
  const { problem, chances, likely, likeliest } = context;
  if (depth >= MOST_DEPTH || hope(problem, explanation, likeliest) < least) return [explanation];
  chances.load(explanation.decisions);
  const whole = product(explanation.fits);
  const influence = new Influence(problem, explanation);
  const found = likely
    .filter(({ id }) => chances.isFree(id) && chances.of(id) >= LEAST_CHANCE)
    .map((fault) => {
      const { name, predictions, fits } = fitAll(problem, explanation, influence, fault);
      const ratio = whole > 0 ? product(fits) / whole : 1;
      const chance = chances.of(fault.id);
      return { fault, name, predictions, fits, chance, ratio };
    })
    .filter(
      ({ chance, ratio }) => chance > LIKELY_CHANCE || chance * Math.abs(1 - ratio) > LEAST_EFFECT,
    )
    // What spoils nothing is decided first: under it, what would spoil something may spoil no more.
    .sort((x, y) => y.ratio - x.ratio || x.fault.id - y.fault.id);
  const cut: Explanation[] = [];
  let decisions: Decision | undefined = explanation.decisions;
  let mass = explanation.mass;
  for (const { fault, name, predictions, fits, ratio } of found) {
    chances.load(decisions);
    const chance = chances.of(fault.id);
    if (chance <= 0) continue;
    const present: Explanation = {
      faults: [...explanation.faults, fault.id],
      accused:
        ratio > ACCUSING_RATIO || chance > 0.5
          ? [...explanation.accused, fault.id] // asked for by a reading, or found by an eye
          : explanation.accused,
      name,
      decisions: { before: decisions, fault: fault.id, present: true },
      mass: (mass / whole) * chance * product(fits),
      predictions,
      fits,
    };
    cut.push(...refine(context, present, least, depth + 1));
    decisions = { before: decisions, fault: fault.id, present: false };
    mass *= 1 - chance;
  }
  return [{ ...explanation, decisions, mass }, ...cut];
}

/** Mass an explanation could have if one more likely fault put right what it does not explain. */
function hope(problem: Problem, { mass, fits }: Explanation, likeliest: number): number {
  let better = 1;
  for (const { index, best } of problem.observations) better *= best / (fits[index] as number);
  return mass * Math.max(1, better * likeliest);
}

function product(fits: Float64Array): number {
  let result = 1;
  for (const fit of fits) result *= fit;
  return result;
}
