import type { Prediction } from '../circuit/likelihood.ts';
import type { Chances } from './chances.ts';
import type { Fault } from './fault.ts';
import { Heap } from './heap.ts';
import { Influence } from './influence.ts';
import { observationFit } from './observation.ts';
import type { Explanation, Problem } from './problem.ts';
import { predict, Worlds } from './world.ts';

interface Foreseen extends Pick<Explanation, 'predictions' | 'fits' | 'name'> {}

/** What every observation would read, and how well it fits, if one more fault were there. */
function fitAll(
  problem: Problem,
  explanation: Explanation,
  influence: Influence,
  fault: Fault,
): Foreseen {
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
/** Of the undecided faults so many of the likeliest are looked at. */
const MOST_LIKELY = 24;

/** Explanations looked at in this way at most: those that could come to most weight. */
const MOST_REFINED = 400;

/** What refining needs besides an explanation; made once for all of them. */
interface Context {
  readonly problem: Problem;
  readonly chances: Chances;
  /** Faults likely enough to be decided that act under the state of some observation. */
  readonly likely: readonly Fault[];
  readonly likeliest: number;
}

/**
 * Cuts explanations into ones that also decide the undecided faults that matter: those likely enough
 * that two of them at once still carry weight. The cut-off parts do not overlap and their masses add
 * up to the mass of the whole, each with the fit it really has. Heaviest first.
 */
export function refine(
  problem: Problem,
  chances: Chances,
  explanations: readonly Explanation[],
): Explanation[] {
  const context: Context = { problem, chances, ...likelyFaults(problem) };
  const { likeliest } = context;
  const done: Explanation[] = [];
  const waiting = new Heap<Explanation>();
  let total = 0;
  const add = (explanation: Explanation): void => {
    total += explanation.mass;
    waiting.push(hope(problem, explanation, likeliest), explanation);
  };
  for (const explanation of explanations) add(explanation);
  for (let count = 0; count < MOST_REFINED; count++) {
    const next = waiting.pop();
    if (next === undefined) break;
    const share = hope(problem, next, likeliest) / total;
    if (share * likeliest < LEAST_SHARE) {
      done.push(next);
      break;
    }
    const { rest, cut } = cutUp(context, next, share, total);
    done.push(rest);
    total += rest.mass - next.mass;
    for (const one of cut) add(one);
  }
  for (let one = waiting.pop(); one !== undefined; one = waiting.pop()) done.push(one);
  return done.sort((x, y) => y.mass - x.mass);
}

function likelyFaults({ observations, states, universe, copper }: Problem): {
  likely: Fault[];
  likeliest: number;
} {
  const met = [...new Set(observations.map((one) => states.at(one)))];
  const most = ({ chance }: Fault): number => Math.max(chance[0], chance[1]);
  const likely = universe.likely
    .filter((id) => met.some(({ acts }) => acts[id] === 1))
    .filter((id) => copper?.crosses(id) !== true) // readings along the copper have decided these
    .map((id) => universe.faults[id] as Fault)
    .sort((x, y) => most(y) - most(x) || x.id - y.id)
    .slice(0, MOST_LIKELY);
  return { likely, likeliest: Math.max(0, ...likely.map(({ chance }) => chance[0])) };
}

/**
 * @param share of all weight that the explanation could come to
 * @param total mass of all explanations
 * @returns the explanation with what matters decided absent, and one for each fault decided present
 */
function cutUp(
  { problem, chances, likely }: Context,
  explanation: Explanation,
  share: number,
  total: number,
): { rest: Explanation; cut: Explanation[] } {
  chances.load(explanation.decisions);
  const whole = product(explanation.fits);
  const influence = new Influence(problem, explanation);
  const own = explanation.mass / total;
  const decided: Further[] = [];
  const ratios = new Map<number, number>();
  for (const fault of likely) {
    const chance = chances.of(fault.id);
    if (!chances.isFree(fault.id) || share * chance < LEAST_SHARE) continue;
    const further = fitAll(problem, explanation, influence, fault);
    const ratio = whole > 0 ? product(further.fits) / whole : 1;
    const matters =
      own * chance * Math.max(1, ratio) > LIKELY_SHARE ||
      own * chance * Math.abs(1 - ratio) > LEAST_EFFECT;
    if (matters) decided.push({ ...further, fault, ratio });
    else ratios.set(fault.id, ratio);
  }
  // What spoils nothing is decided first: under it, what would spoil something may spoil no more.
  decided.sort((x, y) => y.ratio - x.ratio || x.fault.id - y.fault.id);
  const cut: Explanation[] = [];
  let { decisions, mass } = explanation;
  for (const { fault, name, predictions, fits, ratio } of decided) {
    chances.load(decisions);
    const chance = chances.of(fault.id);
    if (chance <= 0) continue;
    cut.push({
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
    });
    decisions = { before: decisions, fault: fault.id, present: false };
    mass *= 1 - chance;
  }
  return { rest: { ...explanation, decisions, mass, ratios }, cut };
}

/** One more fault, and what that would make of an explanation. */
interface Further extends Foreseen {
  readonly fault: Fault;
  /** Fit of all observations with it over the fit without it. */
  readonly ratio: number;
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
