import type { Board } from '../board/model.ts';
import type { DerivedJob } from '../job/derive.ts';
import { stageLines } from '../report/power-lines.ts';
import { viewPowerPlan } from '../report/power-plan.ts';
import type { Style } from '../report/style.ts';
import { gatesOf, powerPlanOf } from './engine.ts';

/** The stage of the power-up plan that comes next, in full. */
export function plannedLines(board: Board, derived: DerivedJob, style: Style): string[] {
  const view = viewPowerPlan(board, powerPlanOf(board), derived, gatesOf(board, derived));
  const stage = view.stages.find(({ number }) => number === view.next);
  return stage === undefined ? [] : stageLines(stage, style);
}
