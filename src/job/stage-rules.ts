/** How each stage stands, from what was recorded and what the readings call for. */
import type { Board } from '../board/model.ts';
import type { DerivedJob } from './derive.ts';
import type { Gate } from './gates.ts';
import type { JobFacts } from './job-facts.ts';
import { ledgerText } from './ledger.ts';
import { partName } from './points.ts';
import { renewals } from './renewals.ts';
import type { SkippableStage } from './say.ts';
import { soakState } from './soak.ts';
import type { WorkStage } from './stage-of.ts';
import type { PlannedStage } from './task.ts';

/** `held up`: it was begun, or is due, and something has to be put right before it goes on. */
export type StageState = 'not begun' | 'under way' | 'done' | 'skipped' | 'held up';

export interface StageStanding {
  readonly state: StageState;
  /** What it still needs, one line each; for a skipped stage the reason it was left out. */
  readonly needs: readonly string[];
}

/** What the stages under power follow from; the readings' advice is not among it. */
export interface PowerFacts {
  readonly job: DerivedJob;
  readonly gates: readonly Gate[];
  readonly powerPlan: readonly PlannedStage[];
  readonly checks: readonly string[];
}

const DONE: StageStanding = { state: 'done', needs: [] };

/** By stage. */
export const RULES: Readonly<Record<WorkStage, (facts: JobFacts) => StageStanding>> = {
  intake: ({ job }) => intake(job),
  'look-over': lookOver,
  'cold survey': coldSurvey,
  isolate,
  repair,
  recheck,
  'touch-up': touchUp,
  'power-up': powerUp,
  soak: ({ job, now }) => soak(job, now),
  'sign-off': signOff,
};

function intake({ intake: { customer, arrived, marking, photos } }: DerivedJob): StageStanding {
  const needs = [
    ...(customer.length === 0 ? ['the customer’s words: customer …'] : []),
    ...(arrived.length === 0 ? ['how it arrived: arrived …'] : []),
  ];
  const said = customer.length + arrived.length + marking.length + photos.length;
  if (needs.length === 0) return DONE;
  return { state: said > 0 ? 'under way' : 'not begun', needs };
}

function lookOver({ board, job, lookOver: items }: JobFacts): StageStanding {
  const skipped = skipOf(job, 'look-over');
  if (skipped !== undefined) return skipped;
  const open = items.filter((item) => item.open.length > 0);
  if (open.length === 0) return DONE;
  const needs = open.map(({ open: parts }) => `look at ${namesOf(board, parts)}`);
  return { state: open.length < items.length ? 'under way' : 'not begun', needs };
}

function coldSurvey({ job, advice }: JobFacts): StageStanding {
  if (isCleared(job)) return DONE;
  if (job.evidence.readings.length > 0) {
    return advice.phase === 'survey' ? { state: 'under way', needs: [advice.why] } : DONE;
  }
  const since = job.upsets.at(-1)?.event;
  if (since === undefined) return { state: 'not begun', needs: ['no reading taken yet'] };
  return { state: 'held up', needs: [`no reading taken since event ${since}`] };
}

/** Closed with everything the shop asked for then: what is asked for today does not open it again. */
function isCleared({ signOff }: DerivedJob): boolean {
  return signOff?.result === 'cleared';
}

function isolate({ job, advice }: JobFacts): StageStanding {
  if (isCleared(job)) return DONE;
  if (job.evidence.readings.length === 0 || advice.phase === 'survey') {
    return { state: 'not begun', needs: [] };
  }
  if (advice.phase !== 'isolate') return DONE;
  return { state: advice.step.kind === 'done' ? 'held up' : 'under way', needs: [advice.why] };
}

function repair(facts: JobFacts): StageStanding {
  const { board, job, advice } = facts;
  const needs = [
    ...(advice.phase === 'repair' ? [advice.why] : []),
    ...job.ledger.map((entry) => `refit or replace ${ledgerText(board, entry)}`),
    ...renewals(board, job, facts.purpose).map(
      ({ part, why }) => `renew ${partName(board, part)} (${why}), or record that it was tested`,
    ),
  ];
  const isBegun = job.ledger.length > 0 || job.evidence.replacedAt.size > 0;
  if (needs.length > 0) return { state: isBegun ? 'under way' : 'not begun', needs };
  return isBegun || advice.phase === 'clear' ? DONE : { state: 'not begun', needs };
}

function recheck({ job, advice, gates }: JobFacts): StageStanding {
  const needs = gateNeeds(gates);
  if (needs.length === 0) return DONE;
  const isStuck = advice.step.kind === 'done' && advice.phase !== 'clear';
  if (isStuck) return { state: 'held up', needs };
  const since = job.evidence.lastChange;
  const isBegun = since > 0 && job.evidence.readings.some(({ id }) => id > since);
  return { state: isBegun ? 'under way' : 'not begun', needs };
}

function touchUp({ board, job, touchUp: { spots, through } }: JobFacts): StageStanding {
  const skipped = skipOf(job, 'touch-up');
  if (skipped !== undefined) return skipped;
  if (spots.length === 0) return DONE;
  const needs = spots.map(
    ({ part, why }) => `look at the joints of ${partName(board, part)}: ${why}`,
  );
  return { state: through > 0 ? 'under way' : 'not begun', needs };
}

/**
 * Held up by its gates once power was on; before that it has just not begun. What the plan asks for is
 * told when they hold.
 */
export function powerUp(facts: PowerFacts): StageStanding {
  const { job, gates, checks } = facts;
  const open = gateNeeds(gates);
  const wasPowered = job.powerStages.length + job.powered.length + job.upsets.length > 0;
  if (open.length > 0) return { state: wasPowered ? 'held up' : 'not begun', needs: open };
  const passed = passedStages(job);
  const missing = facts.powerPlan.filter(({ stage }) => !passed.has(stage));
  const needs = [
    ...missing.map(({ stage, text }) => `stage ${stage}: ${text}`),
    ...checks.map((check) => `function check: ${check}`),
  ];
  if (needs.length === 0) return DONE;
  return { state: passed.size > 0 ? 'under way' : 'not begun', needs };
}

/** @param now ms since 1970; matters only to the words of what is missing */
export function soak(job: DerivedJob, now = 0): StageStanding {
  const skipped = skipOf(job, 'soak');
  if (skipped !== undefined) return skipped;
  const { state, needs } = soakState(job, now);
  if (state === 'passed') return DONE;
  if (state === 'running' || state === 'time is up') {
    return { state: 'under way', needs: [...needs, 'soak passed, or soak stopped and why'] };
  }
  return {
    state: state === 'stopped' ? 'held up' : 'not begun',
    needs: ['soak start and its time'],
  };
}

function signOff(facts: JobFacts): StageStanding {
  if (facts.job.signOff !== undefined) return DONE;
  return { state: 'not begun', needs: clearingNeeds(facts) };
}

/** What `sign-off cleared` still needs; empty when it may be said. */
export function clearingNeeds(facts: PowerFacts): string[] {
  const stages = { 'power-up': powerUp(facts), soak: soak(facts.job) };
  return Object.entries(stages).flatMap(([stage, { state, needs }]) =>
    state === 'done' || state === 'skipped' ? [] : needs.map((need) => `${stage}: ${need}`),
  );
}

/** What the gates still ask for, one line each. */
export function gateNeeds(gates: readonly Gate[]): string[] {
  return gates.flatMap(({ name, needs }) => needs.map((need) => `${name}: ${need}`));
}

/** Stages of the plan passed since the board last changed or was upset. */
export function passedStages(job: DerivedJob): ReadonlySet<number> {
  const since = job.evidence.lastChange;
  const passed = job.powerStages.filter(
    ({ result, event }) => result === 'passed' && event > since,
  );
  return new Set(passed.map(({ stage }) => stage));
}

function skipOf(job: DerivedJob, stage: SkippableStage): StageStanding | undefined {
  const skip = job.skips.findLast((one) => one.stage === stage);
  return skip && { state: 'skipped', needs: [skip.text] };
}

function namesOf(board: Board, parts: readonly number[]): string {
  return parts.map((part) => partName(board, part)).join(' ');
}
