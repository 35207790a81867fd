import type { Part } from '../../board/model.ts';
import type { Analysis } from '../../steps/advise.ts';
import type { RepairUnit } from '../../steps/hypotheses.ts';
import { workAhead } from '../../steps/minutes-left.ts';
import type { Advice } from '../../steps/step.ts';
import type { DerivedJob } from '../derive.ts';
import { isOpen } from '../repair/list.ts';
import type { RepairList } from '../repair/model.ts';
import type { WorkStage } from '../stage-of.ts';
import type { StageState } from '../stage-rules.ts';
import type { StageTimes } from './shop.ts';
import type { WayAhead, WorthFacts } from './worth.ts';

/**
 * The ways the rest of the cold work may go, one for each explanation: what it calls for, and what the
 * repair list has for sure, done or not by then.
 */
export function waysAhead(analysis: Analysis, advice: Advice, list: RepairList): WayAhead[] {
  const { workbench, evidence } = analysis;
  const { board, clock } = workbench;
  const sure = list.items.filter(isOpen).map(({ part }) => part);
  const { step } = advice;
  // What the step at hand puts back is in its own minutes.
  const now = step.kind === 'refit' ? step.parts : [];
  const back = [...list.goesBack.map(({ part }) => part), ...raised(analysis, list)].filter(
    (part) => !now.includes(part),
  );
  const isDone = step.kind === 'done';
  return workAhead(analysis, advice.minutes).map(({ weight, minutes, units }) => {
    const called = countsOf(isDone ? [] : units);
    const others = sure.filter((part) => !called.has(part));
    for (const part of others) called.set(part, 1);
    const parts = [...called].flatMap(([index, count]) => {
      const part = board.parts[index];
      return part === undefined ? [] : [{ part, count }];
    });
    const refitted = back.filter((part) => !called.has(part));
    const rest = clock.fit(refitted, evidence.state) + clock.replace(others, evidence.state);
    return { weight, minutes: (isDone ? 0 : minutes) + rest, parts };
  });
}

/** Parts that stay and have a leg in the air. */
function raised({ workbench }: Analysis, { lifted, items }: RepairList): number[] {
  const renewed = new Set(items.filter(isOpen).map(({ part }) => part));
  const parts = lifted.flatMap((pin) => workbench.board.pins[pin]?.part ?? []);
  return [...new Set(parts)].filter((part) => !renewed.has(part));
}

/** One of several parts not told apart counts as a share of each. */
function countsOf(units: readonly RepairUnit[]): Map<number, number> {
  const counts = new Map<number, number>();
  for (const { comesOff, parts, choice } of units) {
    if (!comesOff) continue;
    for (const part of parts) {
      const count = (counts.get(part) ?? 0) + (choice ? 1 / parts.length : 1);
      counts.set(part, Math.min(1, count));
    }
  }
  return counts;
}

/** Every piece fitted new in a job. */
export function piecesUsed(parts: readonly Part[], { active }: DerivedJob): Part[] {
  return active.flatMap(({ say }) =>
    say.do === 'replace' ? say.parts.flatMap((index) => parts[index] ?? []) : [],
  );
}

/** Stages that no single step prices, by their name in the settings. */
const PRICED: Readonly<Record<keyof StageTimes, WorkStage>> = {
  intake: 'intake',
  lookOver: 'look-over',
  touchUp: 'touch-up',
  powerUp: 'power-up',
  soak: 'soak',
  signOff: 'sign-off',
};

/**
 * Those of them that are still to come, with their minutes.
 * @param stages every stage with its state, in their order
 * @param current the stage that the next thing belongs to; an intake it has passed is not gone back to
 */
export function stagesAhead(
  stages: readonly { readonly stage: WorkStage; readonly state: StageState }[],
  current: WorkStage,
  times: StageTimes,
): WorthFacts['stages'] {
  return Object.entries(PRICED).flatMap(([key, stage]) => {
    const state = stages.find((each) => each.stage === stage)?.state;
    const isOver = state === undefined || state === 'done' || state === 'skipped';
    if (isOver || (stage === 'intake' && current !== 'intake')) return [];
    return [{ stage, minutes: times[key as keyof StageTimes] }];
  });
}
