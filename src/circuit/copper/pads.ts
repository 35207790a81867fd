import type { Board } from '../../board/model.ts';

/** Where a pin meets the copper. */
export interface Pad {
  readonly pin: number;
  readonly net: number;
  /** mm. */
  readonly at: readonly [number, number];
  readonly side?: 'top' | 'bottom';
}

/** A change of side costs about as much as so much trace, mm: a via of 0.3 mm through 1.6 mm of board. */
const VIA_LENGTH = 1.5;

/** The pads of a net whose places are known: those of the pins, else the middle of their parts. */
export function padsOf(board: Board, net: number): Pad[] {
  return (board.nets[net]?.pins ?? []).flatMap((pin) => {
    const found = padOf(board, pin);
    return found === undefined ? [] : [found];
  });
}

export function padOf(board: Board, pin: number): Pad | undefined {
  const { part, net, at: own } = board.pins[pin] ?? {};
  const piece = board.parts[part ?? -1];
  const at = own ?? piece?.at;
  if (at === undefined || net === undefined) return undefined;
  return { pin, net, at, ...(piece?.side === undefined ? {} : { side: piece.side }) };
}

/** mm of copper between two pads, as short as it can be. */
export function padDistance(one: Pad, other: Pad): number {
  const [x, y] = [one.at[0] - other.at[0], one.at[1] - other.at[1]];
  const flat = Math.sqrt(x * x + y * y);
  const turns = one.side !== undefined && other.side !== undefined && one.side !== other.side;
  return turns ? flat + VIA_LENGTH : flat;
}
