import type { Board } from '../board/model.ts';
import type { DerivedJob } from '../job/derive.ts';
import { type Charge, chargesOf, unreadBefore } from '../job/discharge.ts';
import { DEFAULT_DISCHARGE_LIMITS, type DischargeLimits } from '../job/discharge-limits.ts';
import type { JobPurpose } from '../job/event-line.ts';
import { functionStates } from '../job/function-checks.ts';
import type { JobFacts } from '../job/job-facts.ts';
import { lookOver } from '../job/look-over.ts';
import { listed } from '../job/points.ts';
import { checksFor } from '../job/shop/shop.ts';
import type { Keeper } from '../job/stage-refusals.ts';
import { stagePlan } from '../job/stages.ts';
import { fittedTabs } from '../job/tabs.ts';
import type { PlannedStage } from '../job/task.ts';
import { touchUp } from '../job/touch-up.ts';
import { type StandingView, viewStanding } from '../report/standing.ts';
import { healthyBoard } from '../steps/advise.ts';
import { gatesOf, powerPlanOf, shopOf, workbenchFor } from './engine.ts';
import type { Study } from './study.ts';
import type { Work } from './work.ts';

/** Where a job stands, in names: every stage, and the one thing that comes next. */
export function standingOf(
  { board, derived, purpose }: Pick<Work, 'board' | 'derived' | 'purpose'>,
  study: Study,
  now: number = Date.now(),
): StandingView {
  const isDrill = purpose === 'drill';
  const facts = factsOf(board, derived, isDrill ? 'repair' : purpose, study, now);
  return viewStanding(facts, stagePlan(facts, isDrill));
}

function factsOf(
  board: Board,
  job: DerivedJob,
  purpose: JobPurpose,
  study: Study,
  now: number,
): JobFacts {
  const workbench = workbenchFor(board);
  const limits = limitsOf(board);
  const { modes } = workbench.bench.priors;
  const chance = (part: number): number =>
    (modes[part] ?? new Float64Array()).reduce((sum, each) => sum + each, 0);
  return {
    board,
    job,
    purpose,
    advice: study.advice().raw,
    gates: gatesOf(board, job),
    charges: chargesOf(board, job, limits),
    limits,
    tabs: fittedTabs(board, job, healthyBoard(workbench)),
    lookOver: lookOver(board, job, chance),
    touchUp: touchUpOf(board, job),
    // The plan of a large board takes a while, and is asked for only when power may come on.
    get powerPlan() {
      return plannedStages(board);
    },
    checks: openChecks(board, job),
    soak: shopOf(board).thresholds.soak,
    now,
  };
}

/** Parts of the touch-up list with a joint that nobody has seen to, or that is cracked still. */
function touchUpOf(board: Board, job: DerivedJob): JobFacts['touchUp'] {
  const { rows } = touchUp(board, job);
  const spots = rows
    .filter(({ joints }) =>
      joints.some(({ state }) => state === 'to look at' || state === 'cracked'),
    )
    .map(({ part, causes, joints }) => ({
      part,
      cracked: joints.filter(({ state }) => state === 'cracked').map(({ pin }) => pin),
      why: causes
        .slice(0, 2)
        .map(({ cause }) => cause)
        .join(', '),
    }));
  return { spots, through: rows.length - spots.length };
}

function limitsOf(board: Board): DischargeLimits {
  return { ...DEFAULT_DISCHARGE_LIMITS, ...shopOf(board).thresholds.discharge };
}

function plannedStages(board: Board): PlannedStage[] {
  return powerPlanOf(board).stages.map(({ number, rails }) => {
    const names = rails.map((rail) => board.rails[rail]?.name ?? '?');
    return { stage: number, rails, text: `bring up ${listed(names)}` };
  });
}

/** The shop's checks for this board that have not passed since the last change. */
function openChecks(board: Board, job: DerivedJob): string[] {
  return functionStates(checksFor(shopOf(board), board.name), job)
    .filter(({ isAsked, state }) => isAsked && state !== 'passed')
    .map(({ text }) => text);
}

/** What lines may be refused for; each part of it is worked out when a line asks. */
export function keeperOf(board: Board, job: DerivedJob, purpose: JobPurpose): Keeper {
  const limits = limitsOf(board);
  return {
    board,
    purpose,
    limits,
    charges: () => chargesOf(board, job, limits),
    power: () => ({
      job,
      gates: gatesOf(board, job),
      get powerPlan() {
        return plannedStages(board);
      },
      checks: openChecks(board, job),
    }),
  };
}

/** Charges nobody measured before the last `count` events, as far as those are readings near them. */
export function unmeasuredAt(board: Board, job: DerivedJob, count: number): Charge[] {
  const limits = limitsOf(board);
  const charges = chargesOf(board, job, limits);
  const last = job.active.slice(-count);
  const near = last.flatMap(({ say }) => {
    const probe = say.do === 'read' ? say.reading : say.do === 'inject' ? say : undefined;
    return probe === undefined ? [] : unreadBefore(board, charges, probe, 0, limits);
  });
  return charges.filter((charge) => near.includes(charge));
}
