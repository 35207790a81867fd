import type { Board } from '../../board/model.ts';
import { padPlace } from '../../board/placed-board.ts';
import { handyPlace, handyRank, LEAST_HANDY } from '../handy-place.ts';
import { printPin } from '../points.ts';

/**
 * Where a supply is clipped on to a net: a pin whose place is known where there is a handy one, as the
 * millivolts are reckoned from there; else the handiest place.
 * @param avoid parts to keep away from
 */
export function clipPlace(board: Board, net: number, avoid: ReadonlySet<number>): string {
  const partOf = (pin: number) => board.parts[board.pins[pin]?.part ?? -1];
  const [best] = (board.nets[net]?.pins ?? [])
    .filter((pin) => padPlace(board, pin) !== undefined && !avoid.has(partOf(pin)?.index ?? -1))
    .map((pin) => ({ pin, rank: handyRank(partOf(pin)) }))
    .filter(({ rank }) => rank < LEAST_HANDY)
    .sort((a, b) => a.rank - b.rank);
  return best === undefined ? handyPlace(board, net, avoid) : printPin(board, best.pin);
}
