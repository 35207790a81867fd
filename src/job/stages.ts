/** Where a job stands: every stage with what it still needs, and the one thing that comes next. */
import type { JobFacts } from './job-facts.ts';
import { benchTask, nextTask, stageOf } from './next-task.ts';
import { WORK_STAGES, type WorkStage } from './stage-of.ts';
import { RULES, type StageStanding } from './stage-rules.ts';
import type { Task } from './task.ts';

export interface Stage extends StageStanding {
  readonly stage: WorkStage;
}

export interface StagePlan {
  /** In the order a job goes through them. */
  readonly stages: readonly Stage[];
  /** The stage that the next thing belongs to. */
  readonly current: WorkStage;
  readonly next: Task;
}

/**
 * Works out where the job stands.
 * @param isDrill a drill has no stages but those of the cold board
 */
export function stagePlan(facts: JobFacts, isDrill = false): StagePlan {
  const next = isDrill ? benchTask(facts) : nextTask(facts);
  const current = stageOf(facts, next);
  const stages = WORK_STAGES.map((stage): Stage => ({ stage, ...RULES[stage](facts) }));
  return { stages, current, next };
}
