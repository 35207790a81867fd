import { fit } from '../circuit/likelihood.ts';
import { isAcrossBoard } from '../circuit/reading.ts';
import type { FaultSet } from '../faults/diagnosis.ts';
import type { TakenReading } from '../faults/evidence.ts';
import { predict, worldOf } from '../faults/world.ts';
import type { Analysis } from './advise.ts';

/** What speaks for and against one part. */
export interface PartExplanation {
  readonly part: number;
  /** Chance that the piece now in this place has failed. */
  readonly weight: number;
  readonly modes: readonly { readonly mode: string; readonly weight: number }[];
  /** Parts nothing tells it apart from, itself included. */
  readonly alike: readonly number[];
  /** Ids of readings that would be harder to explain if it were healthy. */
  readonly accusedBy: readonly number[];
  /** Ids of readings that would be harder to explain if it had failed. */
  readonly clearedBy: readonly number[];
  /** Fault sets that hold it, heaviest first. */
  readonly sets: readonly FaultSet[];
}

/** Fault sets that are looked at, and those shown. */
const MOST_LOOKED_AT = 12;
const MOST_SHOWN = 6;
/** A reading speaks against a change of the fault set that leaves less than this of its fit. */
const HARDER_RATIO = 0.3;

/** Says which readings accuse a part and which clear it. */
export function explainPart(analysis: Analysis, part: number): PartExplanation {
  const { diagnosis } = analysis;
  const suspect = diagnosis.suspects.find((each) => each.part === part);
  const cleared = diagnosis.cleared.find((each) => each.part === part);
  const against = new Set([...(cleared?.by ?? []), ...spoiledByFailure(analysis, part)]);
  const accusing = neededFailure(analysis, part);
  return {
    part,
    weight: suspect?.weight ?? cleared?.weight ?? 0,
    modes: suspect?.modes ?? [],
    alike: suspect?.alike ?? [part],
    accusedBy: [...accusing].sort((a, b) => a - b),
    clearedBy: [...against].filter((id) => !accusing.has(id)).sort((a, b) => a - b),
    sets: diagnosis.sets
      .filter(({ faults }) => faults.some(({ parts }) => parts.includes(part)))
      .slice(0, MOST_SHOWN),
  };
}

/** Readings that the heaviest fault sets with this part explain only with its fault in. */
function neededFailure(analysis: Analysis, part: number): Set<number> {
  const { explanations, problem } = analysis.beliefs;
  const own = new Set(problem.universe.lists.ofPart(part));
  const found = new Set<number>();
  const holding = explanations.filter(({ faults }) => faults.some((id) => own.has(id)));
  for (const { faults } of holding.slice(0, MOST_LOOKED_AT)) {
    const without = faults.filter((id) => !own.has(id));
    for (const id of harder(analysis, faults, without)) found.add(id);
  }
  return found;
}

/** Readings that the heaviest fault set would explain worse if this part had failed as well. */
function spoiledByFailure(analysis: Analysis, part: number): Set<number> {
  const { explanations, problem } = analysis.beliefs;
  const own = problem.universe.lists.ofPart(part);
  const base = explanations.find(({ faults }) => !faults.some((id) => own.includes(id)));
  const found = new Set<number>();
  if (base === undefined) return found;
  for (const fault of own) {
    for (const id of harder(analysis, base.faults, [...base.faults, fault])) found.add(id);
  }
  return found;
}

/** Ids of readings that fit much worse under the second set of faults than under the first. */
function harder(analysis: Analysis, before: readonly number[], after: readonly number[]): number[] {
  return analysis.evidence.readings
    .filter(isAcrossBoard)
    .filter((reading) => {
      const fitted = fitUnder(analysis, reading, before);
      return fitUnder(analysis, reading, after) < HARDER_RATIO * fitted;
    })
    .map(({ id }) => id);
}

function fitUnder(analysis: Analysis, reading: TakenReading, faults: readonly number[]): number {
  const { circuit, universe, meter } = analysis.beliefs.problem;
  const world = worldOf(circuit, universe, reading.state, faults);
  const seen = predict(world, reading.red.net, reading.black.net);
  return fit(meter, reading.mode, reading.value, seen);
}
