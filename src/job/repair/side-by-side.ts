/** Parts wired in parallel, bank or not. */
import type { Board, Part } from '../../board/model.ts';
import { netsOf } from './neighbours.ts';

export function isSemiconductor({ kind }: Part): boolean {
  return kind.healthy.some(({ element }) => element === 'junction') && kind.name !== 'ic';
}

/** Same kind, and the same nets pin for pin; a gate or base may have its own. */
export function areSideBySide(board: Board, a: Part, b: Part): boolean {
  if (a.kind !== b.kind || a.pins.length !== b.pins.length) return false;
  const nets = netsOf(board, a);
  if (nets.length < 2) return false;
  if (a.kind.symmetric) {
    const others = netsOf(board, b);
    return others.length === nets.length && others.every((net) => nets.includes(net));
  }
  return a.pins.every((pin) => {
    const mine = board.pins[pin];
    const other = b.pins.map((each) => board.pins[each]).find((each) => each?.name === mine?.name);
    const isControl = mine?.name === 'G' || mine?.name === 'B';
    return other !== undefined && (isControl || other.net === mine?.net);
  });
}
