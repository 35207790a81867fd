import type { Board } from '../board/model.ts';
import type { BoardState } from '../circuit/state.ts';
import { partNames, pinName } from './names.ts';
import { listOf, runsOf } from './words.ts';

/** What is off the board or in the air now, in one sentence; empty when nothing is. */
export function ledgerLine(board: Board, state: BoardState): string {
  const off = partNames(board, [...state.off]);
  const lifted = [...state.lifted].map((pin) => pinName(board, pin));
  const texts = [
    ...(off.length > 0 ? [`${runsOf(off, 12)} off the board`] : []),
    ...(lifted.length > 0 ? [`${listOf(lifted, 12)} lifted`] : []),
  ];
  return texts.length === 0 ? '' : `To be put back: ${texts.join('; ')}.`;
}
