import type { Board } from '../board/model.ts';
import type { DerivedJob } from '../job/derive.ts';
import { type Gate, gates } from '../job/gates.ts';
import { healthyBoard, openWorkbench, type Workbench } from '../steps/advise.ts';

const workbenches = new WeakMap<Board, Workbench>();

/** What was read clear since the last change, judged by what a board without faults would show. */
export function gatesOf(board: Board, derived: DerivedJob): Gate[] {
  const workbench = workbenchFor(board);
  return gates(board, derived, healthyBoard(workbench));
}

/** The workbench of a board: preparing one costs, so each board in memory has one. */
export function workbenchFor(board: Board): Workbench {
  const held = workbenches.get(board);
  if (held !== undefined) return held;
  const made = openWorkbench(board);
  workbenches.set(board, made);
  return made;
}
