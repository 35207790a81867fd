import { Chances } from './chances.ts';
import type { Fault } from './fault.ts';
import { HiddenFaults } from './hidden.ts';
import { wrongChances } from './observation.ts';
import { refine } from './refine.ts';
import { type Explanation, type Problem, search } from './search.ts';

/** One explanation with its share of the weight. */
export interface WeightedExplanation extends Explanation {
  /** 0–1; all of them and the left-out share sum to 1. */
  readonly weight: number;
  /** By reading id: chance that this reading is wrong, if the explanation is true. */
  readonly wrong: ReadonlyMap<number, number>;
}

/** The outcome of weighing everything that explains the readings. */
export interface Beliefs {
  readonly problem: Problem;
  readonly explanations: readonly WeightedExplanation[];
  /** By fault: chance that it is there. */
  readonly chance: Float64Array;
  /** By fault, by place in its member list: chance that this member has failed so. */
  readonly member: readonly Float64Array[];
  /** By fault: indices of observations that speak against it in the likeliest explanation. */
  readonly against: ReadonlyMap<number, readonly number[]>;
  readonly leftOut: number;
  readonly expanded: number;
}

/** Explanations this much lighter than the heaviest are taken as they are. */
const REFINED_SHARE = 0.02;

/** Searches, weighs, and sums up what that says about every fault. */
export function believe(problem: Problem): Beliefs {
  const { universe, observations, meter, settings } = problem;
  const result = search(problem);
  const chances = new Chances(universe);
  const hidden = new HiddenFaults(problem);
  const sums = new Float64Array(universe.faults.length);
  const member = universe.faults.map((fault) => new Float64Array(fault.members.length));
  let against: ReadonlyMap<number, readonly number[]> = new Map();
  let heaviest = -1;
  let total = 0;
  const masses: number[] = [];
  // A common short or open that the readings half speak of is decided, not left as an average.
  const least = (result.explanations[0]?.mass ?? 0) * REFINED_SHARE;
  const explanations = result.explanations
    .flatMap((explanation) => refine(problem, explanation, chances, least))
    .sort((x, y) => y.mass - x.mass);
  // Light explanations count with the faults they name; what they say of others is too little to see.
  const cutoff = (explanations[0]?.mass ?? 0) * 3e-4;
  for (const explanation of explanations) {
    if (explanation.mass < cutoff) {
      masses.push(explanation.mass);
      total += explanation.mass;
      for (const id of explanation.faults) {
        const fault = universe.faults[id] as Fault;
        addFault(fault, explanation.mass, 0.5, sums, member);
      }
      continue;
    }
    chances.load(explanation.decisions);
    const { ratio, against: here } = hidden.of(explanation, chances);
    let mass = explanation.mass;
    for (const [id, r] of ratio) mass *= 1 - chances.of(id) * (1 - r);
    masses.push(mass);
    total += mass;
    if (mass > heaviest) {
      heaviest = mass;
      against = here;
    }
    addUp(universe.faults, chances, ratio, mass, sums, member);
  }
  const scale = total > 0 ? 1 / total : 0;
  const weighted = explanations.map((explanation, k): WeightedExplanation => {
    const wrong = new Map<number, number>();
    for (const observation of observations) {
      const prediction = explanation.predictions[observation.index];
      if (prediction === undefined) continue;
      const chancesWrong = wrongChances(observation, prediction, meter, settings);
      observation.ids.forEach((id, n) => {
        wrong.set(id, chancesWrong[n] as number);
      });
    }
    return { ...explanation, weight: (masses[k] as number) * scale, wrong };
  });
  for (let id = 0; id < sums.length; id++) {
    sums[id]! *= scale;
    for (let m = 0; m < (member[id]?.length ?? 0); m++) (member[id] as Float64Array)[m]! *= scale;
  }
  weighted.sort((x, y) => y.weight - x.weight);
  const leftOut = result.leftOutMass > 0 ? result.leftOutMass / (total + result.leftOutMass) : 0;
  return {
    problem,
    explanations: weighted,
    chance: sums,
    member,
    against,
    leftOut,
    expanded: result.expanded,
  };
}

function addUp(
  faults: readonly Fault[],
  chances: Chances,
  ratio: ReadonlyMap<number, number>,
  mass: number,
  sums: Float64Array,
  member: readonly Float64Array[],
): void {
  for (const fault of faults) {
    const prior = chances.of(fault.id);
    if (prior === 0) continue;
    const r = ratio.get(fault.id) ?? 1;
    const chance = prior === 1 ? 1 : (prior * r) / (1 - prior + prior * r);
    const together = fault.bank < 0 ? 0 : chances.bankTogether(fault.bank);
    addFault(fault, mass * chance, together, sums, member);
  }
}

function addFault(
  fault: Fault,
  mass: number,
  together: number,
  sums: Float64Array,
  member: readonly Float64Array[],
): void {
  sums[fault.id]! += mass;
  const rows = member[fault.id] as Float64Array;
  fault.members.forEach((one, k) => {
    rows[k]! += mass * memberShare(fault, one.chance, together);
  });
}

/** Chance of one member, given that at least one of the fault's members has failed. */
export function memberShare(
  fault: Fault,
  chance: readonly [number, number],
  together: number,
): number {
  if (fault.members.length === 1) return 1;
  const alone = fault.chance[0] > 0 ? chance[0] / fault.chance[0] : 0;
  const jointly = fault.chance[1] > 0 ? chance[1] / fault.chance[1] : 0;
  return Math.min(1, (1 - together) * alone + together * jointly);
}
