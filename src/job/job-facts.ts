/** All that the order of a job follows from, gathered once. */
import type { Board } from '../board/model.ts';
import type { Advice } from '../steps/step.ts';
import type { DerivedJob } from './derive.ts';
import type { Charge } from './discharge.ts';
import type { DischargeLimits } from './discharge-limits.ts';
import type { JobPurpose } from './event-line.ts';
import type { Gate } from './gates.ts';
import type { LookItem } from './look-over.ts';
import type { FittedTab } from './tabs.ts';
import type { PlannedStage, TouchUpSpot } from './task.ts';

/** All that the order of a job follows from. */
export interface JobFacts {
  readonly board: Board;
  readonly job: DerivedJob;
  readonly purpose: JobPurpose;
  /** What the readings call for. */
  readonly advice: Advice;
  readonly gates: readonly Gate[];
  readonly charges: readonly Charge[];
  readonly limits: DischargeLimits;
  readonly tabs: readonly FittedTab[];
  readonly lookOver: readonly LookItem[];
  /** Joints still to be seen to, the most stressed first, and how many parts are through. */
  readonly touchUp: { readonly spots: readonly TouchUpSpot[]; readonly through: number };
  readonly powerPlan: readonly PlannedStage[];
  /** The shop's function checks that have not passed yet. */
  readonly checks: readonly string[];
  /** Minutes a soak usually runs, and between two observations, as the shop has them. */
  readonly soak: { readonly minutes: number; readonly observeEvery: number };
  /** ms since 1970. */
  readonly now: number;
}
