import { Chances } from './chances.ts';
import { guided, weighed } from './copper/copper-weight.ts';
import { HiddenFaults } from './hidden.ts';
import { Marginals } from './marginals.ts';
import { NearShorts } from './near-shorts.ts';
import { wrongChances } from './observation.ts';
import type { Explanation, Problem } from './problem.ts';
import { refine } from './refine.ts';
import { search } from './search.ts';
import type { Sliced } from './sliced.ts';

/** One explanation with its share of the weight. */
export interface WeightedExplanation extends Explanation {
  /** 0–1; all of them and the left-out share sum to 1. */
  readonly weight: number;
  /** By reading id: chance that it is wrong if the explanation is true; empty for light ones. */
  readonly wrong: ReadonlyMap<number, number>;
}

/** The outcome of weighing everything that explains the readings. */
export interface Beliefs {
  readonly problem: Problem;
  readonly explanations: readonly WeightedExplanation[];
  /** By fault: chance that it is there. */
  readonly chance: Float64Array;
  /** By place in a fault's member list: chance that this member has failed so. */
  members(fault: number): readonly number[];
  /** By fault: indices of observations that speak against it in the likeliest explanation. */
  readonly against: ReadonlyMap<number, readonly number[]>;
  readonly leftOut: number;
  readonly expanded: number;
  /** The search was stopped before it had come to its end. */
  readonly isStopped: boolean;
}

/** Explanations this much lighter than the heaviest say too little of other faults to be seen. */
const LIGHT_SHARE = 1e-3;

const NONE_WRONG: ReadonlyMap<number, number> = new Map();

/** Searches, weighs, and sums up what that says about every fault. */
export function* believe(problem: Problem): Sliced<Beliefs> {
  const { universe } = problem;
  const near = new NearShorts(problem);
  const result = yield* search(problem.copper === undefined ? problem : guided(problem), near);
  const chances = new Chances(universe, problem.workspace);
  const found =
    problem.copper === undefined
      ? result.explanations
      : weighed(problem, chances, result.explanations);
  const hidden = new HiddenFaults(problem, near);
  const marginals = new Marginals(universe, chances, problem.workspace);
  const explanations = refine(problem, chances, found);
  const light = (explanations[0]?.mass ?? 0) * LIGHT_SHARE;
  let heaviest: { readonly explanation: Explanation; readonly mass: number } | undefined;
  let total = 0;
  const masses = explanations.map((explanation) => {
    let { mass } = explanation;
    if (mass < light) marginals.addLight(explanation.faults, mass);
    else {
      chances.load(explanation.decisions);
      const ratios = hidden.ratios(explanation, chances);
      for (const id of ratios.ids) mass *= 1 - chances.of(id) * (1 - ratios.get(id));
      marginals.add(explanation.decisions, ratios, mass);
      if (mass > (heaviest?.mass ?? -1)) heaviest = { explanation, mass };
    }
    total += mass;
    return mass;
  });
  marginals.finish(total);
  chances.load(heaviest?.explanation.decisions);
  const against = heaviest === undefined ? [] : hidden.against(heaviest.explanation, chances);
  hidden.release();
  chances.release();
  const weighted = explanations.map((explanation, k) => ({
    ...explanation,
    weight: total > 0 ? (masses[k] as number) / total : 0,
    wrong: (masses[k] as number) > light ? wrongReadings(problem, explanation) : NONE_WRONG,
  }));
  return {
    problem,
    explanations: weighted.sort((x, y) => y.weight - x.weight),
    chance: marginals.sums,
    members: (fault) => marginals.members(fault),
    against: new Map(against),
    leftOut: result.leftOutMass > 0 ? result.leftOutMass / (total + result.leftOutMass) : 0,
    expanded: result.expanded,
    isStopped: result.isStopped,
  };
}

function wrongReadings(
  { observations, meter, settings }: Problem,
  { predictions }: Explanation,
): Map<number, number> {
  const wrong = new Map<number, number>();
  for (const observation of observations) {
    const prediction = predictions[observation.index];
    if (prediction === undefined) continue;
    const chances = wrongChances(observation, prediction, meter, settings);
    observation.ids.forEach((id, n) => {
      wrong.set(id, chances[n] as number);
    });
  }
  return wrong;
}
