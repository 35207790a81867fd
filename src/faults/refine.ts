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

/** A share of all weight below which what a fault would change is left as a guess. */
const LEAST_SHARE = 5e-5;
/** A fault is decided when leaving it open would move this share of all weight… */
const LEAST_EFFECT = 3e-4;
/** …or when it may well be there together with another. */
const LIKELY_SHARE = 6e-4;
/** A fault that lifts the fit by this much is accused by the observations, not just undecided. */
const ACCUSING_RATIO = 1.5;
/** Of the undecided faults so many of the likeliest are looked at, and none less likely than this. */
const MOST_LIKELY = 24;
const LEAST_CHANCE = 0.005;

/** What refining needs besides the explanation; made once for all of them. */
export interface RefineContext {
  readonly problem: Problem;
  readonly chances: Chances;
  /** Faults likely enough to be decided that act under the state of some observation. */
  readonly likely: readonly Fault[];
  readonly likeliest: number;
  /** Mass of all explanations. */
  readonly total: number;
}

export function refineContext(problem: Problem, chances: Chances, total: number): RefineContext {
  const states = new Set(problem.observations.map((one) => problem.states.at(one)));
  const most = ({ chance }: Fault): number => Math.max(chance[0], chance[1]);
  const likely = problem.universe.faults
    .filter(
      (fault) =>
        most(fault) >= LEAST_CHANCE && [...states].some(({ acts }) => acts[fault.id] === 1),
    )
    .sort((x, y) => most(y) - most(x) || x.id - y.id)
    .slice(0, MOST_LIKELY);
  const likeliest = Math.max(0, ...likely.map(({ chance }) => chance[0]));
  return { problem, chances, likely, likeliest, total };
}

/**
 * Cuts an explanation into ones that also decide the undecided faults that matter: those likely
 * enough that two of them at once still carry weight. The cut-off parts do not overlap and their
 * masses add up to the mass of the whole, each with the fit it really has.
 */
export function refine(context: RefineContext, explanation: Explanation): Explanation[] {
  const { problem, chances, likely, likeliest, total } = context;
  const share = hope(problem, explanation, likeliest) / total;
  if (share * likeliest < LEAST_SHARE) return [explanation];
  chances.load(explanation.decisions);
  const whole = product(explanation.fits);
  const influence = new Influence(problem, explanation);
  const found = likely
    .filter(({ id }) => chances.isFree(id) && share * chances.of(id) >= LEAST_SHARE)
    .map((fault) => {
      const { name, predictions, fits } = fitAll(problem, explanation, influence, fault);
      const ratio = whole > 0 ? product(fits) / whole : 1;
      const chance = chances.of(fault.id);
      return { fault, name, predictions, fits, chance, ratio };
    });
  const own = explanation.mass / total;
  const isDecided = ({ chance, ratio }: { chance: number; ratio: number }): boolean =>
    own * chance * Math.max(1, ratio) > LIKELY_SHARE ||
    own * chance * Math.abs(1 - ratio) > LEAST_EFFECT;
  const decided = found
    .filter(isDecided)
    // What spoils nothing is decided first: under it, what would spoil something may spoil no more.
    .sort((x, y) => y.ratio - x.ratio || x.fault.id - y.fault.id);
  const known = new Map(
    found.filter((one) => !isDecided(one)).map(({ fault, ratio }) => [fault.id, ratio]),
  );
  const cut: Explanation[] = [];
  let decisions: Decision | undefined = explanation.decisions;
  let mass = explanation.mass;
  for (const { fault, name, predictions, fits, ratio } of decided) {
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
    cut.push(...refine(context, present));
    decisions = { before: decisions, fault: fault.id, present: false };
    mass *= 1 - chance;
  }
  return [{ ...explanation, decisions, mass, ratios: known }, ...cut];
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
