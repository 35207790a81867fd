import type { Board } from '../board/model.ts';
import type { DerivedJob } from '../job/derive.ts';
import type { Charge } from '../job/discharge.ts';
import type { JobPurpose } from '../job/event-line.ts';
import type { Keeper } from '../job/stage-refusals.ts';
import { stagePlan } from '../job/stages.ts';
import { jobFacts, jobKeeper, unmeasuredCharges, type WholeJob } from '../job/whole-job.ts';
import { type StandingView, viewStanding } from '../report/standing.ts';
import { powerPlanOf, shopOf, workbenchFor } from './engine.ts';
import type { Study } from './study.ts';
import type { Work } from './work.ts';

/** Where a job stands, in names: every stage, and the one thing that comes next. */
export function standingOf(
  { board, derived, purpose }: Pick<Work, 'board' | 'derived' | 'purpose'>,
  study: Study,
  now: number = Date.now(),
): StandingView {
  const isDrill = purpose === 'drill';
  const whole = wholeJob(board, derived, isDrill ? 'repair' : purpose);
  const facts = jobFacts(whole, study.advice().raw, now);
  return viewStanding(facts, stagePlan(facts, isDrill));
}

/** What lines may be refused for; each part of it is worked out when a line asks. */
export function keeperOf(board: Board, job: DerivedJob, purpose: JobPurpose): Keeper {
  return jobKeeper(wholeJob(board, job, purpose));
}

/** Charges nobody measured before the last `count` events, as far as those are readings near them. */
export function unmeasuredAt(board: Board, job: DerivedJob, count: number): Charge[] {
  return unmeasuredCharges(wholeJob(board, job, 'repair'), count);
}

/** By the settings in force, with what is kept of the board. */
function wholeJob(board: Board, job: DerivedJob, purpose: JobPurpose): WholeJob {
  const powerPlan = () => powerPlanOf(board);
  return { workbench: workbenchFor(board), job, purpose, shop: shopOf(board), powerPlan };
}
