import type { Board, Part, Pin } from './model.ts';

/** A position typed at the bench, for a part or for one of its pads. */
export interface Placing {
  readonly part: number;
  /** Board-wide pin number, when it is the pad's place. */
  readonly pin?: number;
  /** mm. */
  readonly xy: readonly [number, number];
  /** Side of the board the part sits on, where it was said. */
  readonly side?: 'top' | 'bottom';
}

/**
 * The board with typed positions put in, over those of its file; the later of two wins. A part that is
 * moved takes the pads along whose places the file gives. Everything keeps its number.
 * @returns `board` itself when nothing was typed; else a copy, linear in the board's size
 */
export function placedBoard(board: Board, placed: readonly Placing[]): Board {
  if (placed.length === 0) return board;
  const parts = [...board.parts];
  const pins = [...board.pins];
  for (const placing of placed) {
    const part = parts[placing.part];
    if (part === undefined) continue;
    if (placing.pin === undefined) movePads(part, pins, placing.xy);
    else placePad(pins, placing.pin, placing.xy);
    const at = placing.pin === undefined ? placing.xy : (part.at ?? middleOf(part, pins));
    const side = placing.side === undefined ? {} : { side: placing.side };
    parts[placing.part] = { ...part, ...side, ...(at === undefined ? {} : { at }) };
  }
  return { ...board, parts, pins, partNamed: new Map(parts.map((part) => [part.name, part])) };
}

/** Where a probe finds a pad, mm: its own place, else that of its part; undefined when neither is known. */
export function padPlace(board: Board, pin: number): readonly [number, number] | undefined {
  const pad = board.pins[pin];
  return pad?.at ?? board.parts[pad?.part ?? -1]?.at;
}

function placePad(pins: Pin[], index: number, at: readonly [number, number]): void {
  const pin = pins[index];
  if (pin !== undefined) pins[index] = { ...pin, at };
}

/** Moves by what the part moves; from an unknown place, by what its pads' middle does. */
function movePads(part: Part, pins: Pin[], [x, y]: readonly [number, number]): void {
  const from = part.at ?? middleOf(part, pins);
  if (from === undefined) return;
  for (const index of part.pins) {
    const at = pins[index]?.at;
    if (at !== undefined) placePad(pins, index, [at[0] + x - from[0], at[1] + y - from[1]]);
  }
}

function middleOf(part: Part, pins: readonly Pin[]): readonly [number, number] | undefined {
  const places = part.pins.flatMap((pin) => (pins[pin]?.at ? [pins[pin].at] : []));
  if (places.length === 0) return undefined;
  const mean = (axis: 0 | 1): number =>
    places.reduce((sum, place) => sum + place[axis], 0) / places.length;
  return [mean(0), mean(1)];
}
