import type { Analysis } from './advise.ts';
import { meaning } from './choice.ts';
import { Foresight } from './foresight.ts';
import type { Outcome, Step } from './step.ts';

/** Taking a part out of circuit, and one reading after it. */
export interface WhatIfReading {
  readonly step: Step;
  /** Bench minutes of the lift and the reading. */
  readonly minutes: number;
  /** Expected minutes until the culprit is found, the step counted. */
  readonly whole: number;
  readonly outcomes: readonly Outcome[];
}

export interface WhatIf {
  readonly part: number;
  /** Readings worth taking then, those that lead to the culprit soonest first. */
  readonly readings: readonly WhatIfReading[];
  /** Expected minutes until the culprit is found with the best step, to compare. */
  readonly best: number;
}

/** More ways to go about it than anyone compares. */
const MOST_READINGS = 4;
/** Answers less likely than this are not told. */
const LEAST_CHANCE = 0.005;

/**
 * What would be worth reading were a part out of circuit, and what each answer would mean; nothing is
 * recorded. No readings where none would tell anything.
 */
export function whatIf(analysis: Analysis, part: number): WhatIf {
  const foresight = new Foresight(analysis);
  const { candidates } = foresight;
  const own = foresight.score(
    candidates.liftsOf([part]).filter(({ step }) => analysis.offers.has(step)),
  );
  const others = foresight.score([...candidates.readings(), ...candidates.lifts()]);
  const wholes = [...own, ...others].map(({ whole }) => whole);
  return {
    part,
    best: Math.min(foresight.plainMinutes, ...wholes),
    readings: own.slice(0, MOST_READINGS).map(({ candidate, outlook, whole }) => ({
      step: candidate.step,
      minutes: candidate.minutes,
      whole,
      outcomes: outlook.answers
        .filter(({ chance }) => chance > LEAST_CHANCE)
        .map(({ text, chance, weights }) => ({
          answer: text,
          weight: chance,
          means: meaning(analysis, weights, 'nothing on the board is faulty'),
        })),
    })),
  };
}
