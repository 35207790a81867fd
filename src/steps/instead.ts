import type { Probe } from '../circuit/reading.ts';
import type { Analysis } from './advise.ts';
import { actingWeight } from './choice.ts';
import { Foresight } from './foresight.ts';
import type { Scored } from './score.ts';
import type { Step } from './step.ts';

/** A step of one's own choice, beside the best one. */
export interface Instead {
  readonly step: Step;
  /** Bench minutes of the step itself. */
  readonly minutes: number;
  /** Expected minutes until the culprit is found, with this step and with the best one first. */
  readonly whole: number;
  readonly best: number;
}

/**
 * What taking a part out of circuit, or a reading between two nets, would cost as the next step.
 * @returns undefined while nothing in circuit is suspected, and where the step would tell nothing
 */
export function insteadOf(
  analysis: Analysis,
  choice: { readonly part: number } | { readonly nets: readonly [number, number] },
): Instead | undefined {
  if (actingWeight(analysis) < analysis.workbench.steps.clearWeight) return undefined;
  const foresight = new Foresight(analysis);
  const { candidates } = foresight;
  const own = foresight.score(
    'part' in choice
      ? candidates.liftsOf([choice.part])
      : probesOf(choice.nets).map((probe) => candidates.reading(probe)),
  )[0];
  if (own === undefined) return undefined;
  const others = foresight.score([...candidates.readings(), ...candidates.lifts()]);
  const wholes = [own, ...others].map(({ whole }: Scored) => whole);
  return {
    step: own.candidate.step,
    minutes: own.candidate.minutes,
    whole: own.whole,
    best: Math.min(...wholes, foresight.plainMinutes),
  };
}

function probesOf([red, black]: readonly [number, number]): Probe[] {
  return (['continuity', 'ohms'] as const).map((mode) => {
    return { mode, red: { net: red }, black: { net: black } };
  });
}
