/** Which one thing comes next in a job. */
import { isAcrossBoard, type Probe } from '../circuit/reading.ts';
import type { Advice, Step } from '../steps/step.ts';
import type { DerivedJob } from './derive.ts';
import { refusedCharge, unreadBefore } from './discharge.ts';
import type { JobFacts } from './job-facts.ts';
import { renewals } from './renewals.ts';
import { soakState } from './soak.ts';
import type { WorkStage } from './stage-of.ts';
import { passedStages, RULES } from './stage-rules.ts';
import type { Task } from './task.ts';

/** The one thing that comes next. */
export function nextTask(facts: JobFacts): Task {
  const { job, advice, charges } = facts;
  if (job.signOff !== undefined) return { kind: 'signed off' };
  // The board is under power: nothing is asked for that probes a cold one.
  const soak = runningSoak(facts);
  if (soak !== undefined) return soak;
  const current = injectionTask(facts);
  if (current !== undefined) return current;
  const refused = refusedCharge(charges);
  if (refused !== undefined) return { kind: 'discharge', charge: refused };
  const intake = intakeTask(job);
  if (intake !== undefined) return intake;
  if (job.evidence.readings.length === 0 && job.upsets.length === 0) {
    const look = lookTask(facts);
    if (look !== undefined) return look;
  }
  const due = isNearProof(advice) ? renewals(facts.board, job, facts.purpose) : [];
  if (due.length > 0) return { kind: 'renew', parts: due };
  if (!mayGoOn(facts)) return benchTask(facts);
  return (
    tabTask(facts) ??
    lookTask(facts) ??
    touchUpTask(facts) ??
    powerTask(facts) ??
    checkTask(facts) ??
    lastTask(facts)
  );
}

/** A current is on, and the readings call for something else. */
function injectionTask({ job, advice }: JobFacts): Task | undefined {
  const { injection } = job.evidence;
  if (injection === undefined || isDoneInjecting(advice.step)) return undefined;
  return { kind: 'injection', injection };
}

/** What may be done while a current is on: looks, millivolts, and parts on the bench. */
function isDoneInjecting(step: Step): boolean {
  if (step.kind === 'look' || step.kind === 'inspect') return true;
  return step.kind === 'read' && !isAcrossBoard(step.probe);
}

/** Asked for before the board is touched; once it was, nobody is held up by it. */
function intakeTask({ active, intake }: DerivedJob): Task | undefined {
  if (active.some(({ say }) => !AT_INTAKE.has(say.do))) return undefined;
  const missing = (['customer', 'arrived'] as const).filter((verb) => intake[verb].length === 0);
  return missing.length === 0 ? undefined : { kind: 'intake', missing };
}

const AT_INTAKE: ReadonlySet<string> = new Set([
  'customer',
  'arrived',
  'marking',
  'technician',
  'photo',
  'note',
]);

function isNearProof({ phase, step }: Advice): boolean {
  if (step.kind === 'read') return step.purpose === 'prove';
  return phase === 'clear' && step.kind === 'done';
}

/** The readings are through: nothing is left to read, and every rail and new part read clear. */
function mayGoOn({ advice, gates, tabs }: JobFacts): boolean {
  if (advice.step.kind !== 'done') return false;
  if (advice.phase === 'clear') return true;
  // A doubt is left that no reading can take away; whoever goes on has been told of it.
  const ofTabs = tabs.length * 2;
  return gates.slice(0, gates.length - ofTabs).every(({ holds }) => holds);
}

/** The readings' own step, and what comes before it: the end of a current, a discharge. */
export function benchTask(facts: JobFacts): Task {
  const { board, advice, charges, limits, now } = facts;
  const current = injectionTask(facts);
  if (current !== undefined) return current;
  const probe = probeOf(advice.step);
  const [charge] = probe === undefined ? [] : unreadBefore(board, charges, probe, now, limits);
  return charge === undefined ? { kind: 'bench' } : { kind: 'residual', charge };
}

/** The reading that a step takes, or takes right after. */
function probeOf(step: Step): Probe | undefined {
  return step.kind === 'read' ? step.probe : 'then' in step ? step.then : undefined;
}

function tabTask(facts: JobFacts): Task | undefined {
  const { board, tabs, charges, limits, now } = facts;
  for (const { part, apart } of tabs) {
    if (apart.by === 'reading' && apart.missing !== undefined) {
      const [charge] = unreadBefore(board, charges, apart.missing, now, limits);
      if (charge !== undefined) return { kind: 'residual', charge };
      return { kind: 'tab reading', part, probe: apart.missing };
    }
    if (apart.by === 'isolation' && !apart.holds) {
      return { kind: 'isolation', part, isRepeat: apart.last !== undefined };
    }
  }
  const loose = tabs.filter(({ isFastened }) => !isFastened).map(({ part }) => part);
  return loose.length === 0 ? undefined : { kind: 'fasten', parts: loose };
}

function lookTask(facts: JobFacts): Task | undefined {
  const { state } = RULES['look-over'](facts);
  if (state === 'done' || state === 'skipped') return undefined;
  const items = facts.lookOver.filter((item) => item.open.length > 0);
  return { kind: 'look-over', items, maySkip: facts.purpose === 'repair' };
}

function touchUpTask(facts: JobFacts): Task | undefined {
  const { state } = RULES['touch-up'](facts);
  if (state === 'done' || state === 'skipped') return undefined;
  return { kind: 'touch-up', spots: facts.touchUp.spots, maySkip: facts.purpose === 'repair' };
}

function powerTask(facts: JobFacts): Task | undefined {
  const passed = passedStages(facts.job);
  const planned = facts.powerPlan.find(({ stage }) => !passed.has(stage));
  return planned && { kind: 'power', planned, count: facts.powerPlan.length };
}

function checkTask({ checks: [check] }: JobFacts): Task | undefined {
  return check === undefined ? undefined : { kind: 'function', check };
}

function lastTask(facts: JobFacts): Task {
  const { state } = RULES.soak(facts);
  if (state === 'done' || state === 'skipped') return { kind: 'sign-off' };
  return { kind: 'soak start', minutes: facts.soak.minutes };
}

function runningSoak(facts: JobFacts): Task | undefined {
  const soak = soakState(facts.job, facts.now, facts.soak.observeEvery * 60);
  return soak.state === 'running' || soak.state === 'time is up'
    ? { kind: 'soak', soak }
    : undefined;
}

/** The stage a task belongs to. */
export function stageOf({ advice, job }: JobFacts, task: Task): WorkStage {
  switch (task.kind) {
    case 'intake':
    case 'look-over':
    case 'touch-up':
    case 'sign-off':
    case 'soak':
      return task.kind;
    case 'signed off':
      return 'sign-off';
    case 'power':
    case 'function':
      return 'power-up';
    case 'soak start':
      return 'soak';
    case 'injection':
      return 'isolate';
    case 'renew':
      return 'repair';
    case 'tab reading':
    case 'isolation':
    case 'fasten':
      return 'recheck';
    case 'residual':
    case 'discharge':
    case 'bench':
      return phaseStage(advice, job);
  }
}

function phaseStage({ phase }: Advice, job: DerivedJob): WorkStage {
  const isBegun = job.evidence.readings.length > 0;
  if (phase === 'survey' || !isBegun) return 'cold survey';
  return phase === 'isolate' || phase === 'repair' ? phase : 'recheck';
}
