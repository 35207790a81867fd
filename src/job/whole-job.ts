/** A job with all that its rules look at: what comes next of any stage, and which lines may be recorded. */
import { healthyBoard, type Workbench } from '../steps/advise.ts';
import type { Advice } from '../steps/step.ts';
import type { DerivedJob } from './derive.ts';
import { type Charge, chargesOf, unreadBefore } from './discharge.ts';
import { DEFAULT_DISCHARGE_LIMITS, type DischargeLimits } from './discharge-limits.ts';
import type { JobPurpose } from './event-line.ts';
import { functionStates } from './function-checks.ts';
import { gates } from './gates.ts';
import type { JobFacts } from './job-facts.ts';
import { lookOver } from './look-over.ts';
import { listed } from './points.ts';
import { type PowerPlan, powerPlan } from './power-plan.ts';
import { checksFor, DEFAULT_SHOP, type Shop } from './shop/shop.ts';
import type { Keeper } from './stage-refusals.ts';
import { fittedTabs } from './tabs.ts';
import type { PlannedStage } from './task.ts';
import { touchUp } from './touch-up.ts';

export interface WholeJob {
  /** Of the board as the job has placed and grown it. */
  readonly workbench: Workbench;
  readonly job: DerivedJob;
  readonly purpose: JobPurpose;
  /** Default: no settings of a shop. */
  readonly shop?: Shop;
  /** The plan for first power, asked for only when power may come on; default: worked out each time. */
  readonly powerPlan?: () => PowerPlan;
}

/**
 * What the order of a job follows from; `stagePlan` says what comes next by it.
 * @param now ms since 1970, for a soak
 */
export function jobFacts(whole: WholeJob, advice: Advice, now: number): JobFacts {
  const { workbench, job, purpose } = whole;
  const { board } = workbench;
  const limits = limitsOf(whole);
  const { modes } = workbench.bench.priors;
  const chance = (part: number): number =>
    (modes[part] ?? new Float64Array()).reduce((sum, each) => sum + each, 0);
  const healthy = healthyBoard(workbench);
  return {
    board,
    job,
    purpose,
    advice,
    gates: gates(board, job, healthy),
    charges: chargesOf(board, job, limits),
    limits,
    tabs: fittedTabs(board, job, healthy),
    lookOver: lookOver(board, job, chance, workbench.bench.settings.learnt?.past),
    touchUp: touchUpSpots(whole),
    get powerPlan() {
      return plannedStages(whole);
    },
    checks: openChecks(whole),
    soak: shopOf(whole).thresholds.soak,
    now,
  };
}

/** What lines may be refused for, for `checkStage`; each part of it is worked out when a line asks. */
export function jobKeeper(whole: WholeJob): Keeper {
  const { workbench, job, purpose } = whole;
  const { board } = workbench;
  const limits = limitsOf(whole);
  return {
    board,
    purpose,
    limits,
    charges: () => chargesOf(board, job, limits),
    power: () => ({
      job,
      gates: gates(board, job, healthyBoard(workbench)),
      get powerPlan() {
        return plannedStages(whole);
      },
      checks: openChecks(whole),
    }),
  };
}

/** Charges nobody measured before the last `count` events, as far as those are readings near them. */
export function unmeasuredCharges(whole: WholeJob, count: number): Charge[] {
  const { workbench, job } = whole;
  const { board } = workbench;
  const limits = limitsOf(whole);
  const charges = chargesOf(board, job, limits);
  const last = job.active.slice(-count);
  const near = last.flatMap(({ say }) => {
    const probe = say.do === 'read' ? say.reading : say.do === 'inject' ? say : undefined;
    return probe === undefined ? [] : unreadBefore(board, charges, probe, 0, limits);
  });
  return charges.filter((charge) => near.includes(charge));
}

function shopOf({ shop }: WholeJob): Shop {
  return shop ?? DEFAULT_SHOP;
}

function limitsOf(whole: WholeJob): DischargeLimits {
  return { ...DEFAULT_DISCHARGE_LIMITS, ...shopOf(whole).thresholds.discharge };
}

/** Parts of the touch-up list with a joint that nobody has seen to, or that is cracked still. */
function touchUpSpots({ workbench, job }: WholeJob): JobFacts['touchUp'] {
  const { rows } = touchUp(workbench.board, job);
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

function plannedStages({ workbench, powerPlan: plan }: WholeJob): PlannedStage[] {
  const { board, bench } = workbench;
  const { stages } = plan?.() ?? powerPlan(bench.circuit);
  return stages.map(({ number, rails }) => {
    const names = rails.map((rail) => board.rails[rail]?.name ?? '?');
    return { stage: number, rails, text: `bring up ${listed(names)}` };
  });
}

/** The shop's checks for this board that have not passed since the last change. */
function openChecks(whole: WholeJob): string[] {
  const { workbench, job } = whole;
  return functionStates(checksFor(shopOf(whole), workbench.board.name), job)
    .filter(({ isAsked, state }) => isAsked && state !== 'passed')
    .map(({ text }) => text);
}
