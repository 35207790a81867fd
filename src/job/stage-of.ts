/** Which stage of the job each entry of a record was work on, for the time each stage took. */
import type { DerivedJob } from './derive.ts';
import type { Say } from './say.ts';

/** The stages of a job, in their order. */
export const WORK_STAGES = [
  'intake',
  'look-over',
  'cold survey',
  'isolate',
  'repair',
  'recheck',
  'touch-up',
  'power-up',
  'soak',
  'sign-off',
] as const;

export type WorkStage = (typeof WORK_STAGES)[number];

/** Where the job stood when something was said. */
interface Standing {
  readonly stage: WorkStage;
  readonly hasRepaired: boolean;
  readonly isApart: boolean;
  readonly isSoaking: boolean;
}

/**
 * Stage by number of the event, for every event of the record. What tells nothing of its stage, a note
 * or an undo, belongs to the one it follows; so does what was taken back.
 */
export function workStages(job: DerivedJob): ReadonlyMap<number, WorkStage> {
  const says = new Map(job.active.map(({ event, say }) => [event.n, say]));
  const stages = new Map<number, WorkStage>();
  const off = new Set<number>();
  let now: Standing = { stage: 'intake', hasRepaired: false, isApart: false, isSoaking: false };
  for (const { n } of job.history.events) {
    const say = says.get(n);
    if (say !== undefined) {
      track(off, say);
      now = { ...next(now, say), isApart: off.size > 0 };
    }
    stages.set(n, now.stage);
  }
  return stages;
}

/** Parts with a leg in the air or off the board. */
function track(off: Set<number>, say: Say): void {
  if (say.do === 'lift') off.add(say.part);
  if (say.do === 'remove') for (const part of say.parts) off.add(part);
  if (say.do === 'refit' || say.do === 'replace') for (const part of say.parts) off.delete(part);
}

const OF_VERB: Readonly<Partial<Record<Say['do'], WorkStage>>> = {
  customer: 'intake',
  arrived: 'intake',
  marking: 'intake',
  residual: 'cold survey',
  remove: 'repair',
  replace: 'repair',
  clean: 'repair',
  mend: 'repair',
  tick: 'repair',
  isolation: 'repair',
  power: 'power-up',
  powered: 'power-up',
  draws: 'power-up',
  function: 'power-up',
  soak: 'soak',
  'sign-off': 'sign-off',
};

function next(now: Standing, say: Say): Standing {
  const stage = stageOf(now, say);
  const hasRepaired = now.hasRepaired || stage === 'repair';
  const isSoaking =
    say.do === 'soak' ? say.what === 'start' || say.what === 'finding' : now.isSoaking;
  return { ...now, stage, hasRepaired, isSoaking };
}

function stageOf(now: Standing, say: Say): WorkStage {
  switch (say.do) {
    case 'read':
      return stageOfReading(now, say.reading.offPart !== undefined);
    case 'look':
      return now.hasRepaired && !now.isApart ? 'touch-up' : 'look-over';
    case 'lift':
    case 'link':
    case 'inject':
    case 'inject-off':
      return 'isolate';
    case 'refit':
      return now.hasRepaired ? 'repair' : 'isolate';
    case 'reflow':
      return now.hasRepaired && !now.isApart ? 'touch-up' : 'repair';
    case 'skip':
      return say.stage;
    case 'temp':
      return now.isSoaking ? 'soak' : 'power-up';
    default:
      return OF_VERB[say.do] ?? now.stage;
  }
}

/** Once something was lifted or off, readings are there to find the fault; once all is back, to prove. */
function stageOfReading(now: Standing, isOnLegs: boolean): WorkStage {
  if (now.isApart || isOnLegs) return 'isolate';
  if (now.hasRepaired) return 'recheck';
  return now.stage === 'isolate' ? 'isolate' : 'cold survey';
}

/** Events before which the soak ran: the time up to them is no time away, however long. */
export function soakingUpTo(job: DerivedJob): ReadonlySet<number> {
  const says = new Map(job.active.map(({ event, say }) => [event.n, say]));
  const found = new Set<number>();
  let isSoaking = false;
  for (const { n } of job.history.events) {
    if (isSoaking) found.add(n);
    const say = says.get(n);
    if (say?.do === 'soak') isSoaking = say.what === 'start' || say.what === 'finding';
  }
  return found;
}
