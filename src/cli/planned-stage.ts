import type { Board } from '../board/model.ts';
import type { DerivedJob } from '../job/derive.ts';
import { checksFor } from '../job/shop/shop.ts';
import { powerLines, type StageParts, stageParts } from '../report/power-lines.ts';
import { type PowerView, viewPowerPlan } from '../report/power-plan.ts';
import type { Style } from '../report/style.ts';
import { gatesOf, powerPlanOf, shopOf } from './engine.ts';

const NOTHING: StageParts = { set: [], read: [], rest: [], seen: [] };

/** The stage of the power-up plan that comes next, in parts. */
export function plannedParts(board: Board, derived: DerivedJob, style: Style): StageParts {
  const view = viewOf(board, derived);
  const stage = view.stages.find(({ number }) => number === view.next);
  return stage === undefined ? NOTHING : stageParts(stage, style);
}

/** The same in full. */
export function plannedLines(board: Board, derived: DerivedJob, style: Style): string[] {
  const { set, read, rest, seen } = plannedParts(board, derived, style);
  return [...set, ...read, ...rest, ...seen];
}

/** The whole plan with its cautions and what ends a stage. @param job its file's name */
export function wholePlan(board: Board, derived: DerivedJob, job: string, style: Style): string[] {
  return powerLines(viewOf(board, derived), job, style);
}

function viewOf(board: Board, derived: DerivedJob): PowerView {
  const checks = checksFor(shopOf(board), board.name);
  return viewPowerPlan(board, powerPlanOf(board), derived, gatesOf(board, derived), checks);
}
