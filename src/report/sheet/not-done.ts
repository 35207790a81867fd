import type { Board } from '../../board/model.ts';
import { harmless } from '../../board/shown-text.ts';
import type { DerivedJob } from '../../job/derive.ts';
import type { Gate } from '../../job/gates.ts';
import type { PowerPlan } from '../../job/power-plan.ts';
import { powerStages, type StageState } from '../../job/power-progress.ts';
import type { Recheck } from '../../job/recheck.ts';
import { touchUp } from '../../job/touch-up.ts';
import { pinName } from '../names.ts';
import { counted, listOf } from '../words.ts';
import { stageText } from './power.ts';

/** What was left out, and what is still to be done: nothing of it may be taken for done. */
export function notDone(
  board: Board,
  job: DerivedJob,
  known: {
    readonly gates: readonly Gate[];
    readonly recheck: Recheck;
    readonly plan: PowerPlan;
  },
): string[] {
  const skipped = job.skips.map(
    ({ stage, text, event }) => `${stage} left out, event ${event}: ${harmless(text)}`,
  );
  const open = known.gates.filter(({ holds }) => !holds).map(({ name }) => harmless(name));
  const again = known.recheck.pairs.filter(({ change }) => change === 'not read again').length;
  const last = job.upsets.at(-1);
  return [
    ...skipped,
    ...unread(board, job, open),
    ...(again > 0 ? [`${counted(again, 'pair')} not read again after the last change`] : []),
    ...(last === undefined || isAnswered(job, last.event)
      ? []
      : [`what stopped it at event ${last.event} was not cleared: ${harmless(last.text)}`]),
    ...(job.evidence.injection === undefined
      ? []
      : ['the supply of an injected current was not said to be off: inject off']),
    ...jointsLeft(board, job),
    ...powerLeft(board, job, known.plan),
    ...(job.signOff === undefined ? ['no sign-off'] : []),
  ];
}

function unread(board: Board, job: DerivedJob, open: readonly string[]): string[] {
  const problems = job.problems.length;
  return [
    ...open.map((name) => `${name}: not so yet`),
    ...(problems > 0
      ? [`${counted(problems, 'event', 'events')} that do not fit ${harmless(board.name)} left out`]
      : []),
  ];
}

/** Joints of the touch-up list that nobody looked at, and cracked ones that nobody mended. */
function jointsLeft(board: Board, job: DerivedJob): string[] {
  const { open, joints, cracked } = touchUp(board, job);
  const names = cracked.map((pin) => pinName(board, pin));
  const isLeftOut = job.skips.some(({ stage }) => stage === 'touch-up');
  return [
    ...(names.length > 0 ? [`found cracked and not mended: ${listOf(names)}`] : []),
    ...(open > 0 && !isLeftOut
      ? [`touch-up: ${open} of ${counted(joints, 'stressed joint')} not looked at`]
      : []),
  ];
}

/** Power went on again, and passed, after the upset. */
function isAnswered(job: DerivedJob, event: number): boolean {
  return [...job.powerStages, ...job.functions].some(
    (one) => one.event > event && one.result === 'passed',
  );
}

function powerLeft(board: Board, job: DerivedJob, plan: PowerPlan): string[] {
  const hasSoak = job.soak.length > 0 || job.skips.some(({ stage }) => stage === 'soak');
  return [
    ...stagesLeft(board, job, plan),
    ...(job.functions.length === 0 ? ['no function check recorded'] : []),
    ...(hasSoak ? [] : ['soak: not done']),
  ];
}

function stagesLeft(board: Board, job: DerivedJob, plan: PowerPlan): string[] {
  if (job.powerStages.length === 0) return ['first power: not done'];
  return powerStages(board, plan, job)
    .filter(({ state }) => state !== 'passed')
    .map(({ stage, state }) => {
      const name = stageText(board, plan, stage.number);
      return `first power, ${name}: ${STATE_WORDS[state]}`;
    });
}

const STATE_WORDS: Readonly<Record<StageState, string>> = {
  'to do': 'not done',
  passed: 'passed',
  stopped: 'stopped',
  again: 'passed before the last change only',
};
