import type { Board } from '../../board/model.ts';
import { padPlace } from '../../board/placed-board.ts';
import { partName } from '../names.ts';

/** Farther away a part is no landmark, mm. */
const FAR_MM = 40;
/** Two neighbours have a place between them when they are seen at more than this angle, degrees. */
const APART_DEGREES = 110;

type Spot = readonly [number, number];

/** Where a part sits: its own place, else the middle of its pads; undefined when neither is known. */
export function partPlace(board: Board, part: number): Spot | undefined {
  const { at, pins = [] } = board.parts[part] ?? {};
  if (at !== undefined) return at;
  const pads = pins.flatMap((pin) => {
    const pad = padPlace(board, pin);
    return pad === undefined ? [] : [pad];
  });
  if (pads.length === 0) return undefined;
  const mean = (axis: 0 | 1): number => pads.reduce((sum, pad) => sum + pad[axis], 0) / pads.length;
  return [mean(0), mean(1)];
}

/** `between C2 and R9`, `beside C2`: the parts that a person sees round a spot; empty where none is near. */
export function neighbourText(board: Board, at: Spot, own: number): string {
  const side = board.parts[own]?.side ?? 'top';
  const near = board.parts
    .filter((part) => part.index !== own && (part.side ?? 'top') === side)
    .flatMap(({ index }) => {
      const spot = partPlace(board, index);
      if (spot === undefined) return [];
      const [x, y] = [spot[0] - at[0], spot[1] - at[1]];
      return [{ index, x, y, mm: Math.hypot(x, y) }];
    })
    .filter(({ mm }) => mm <= FAR_MM)
    .sort((a, b) => a.mm - b.mm || a.index - b.index);
  const [first] = near;
  if (first === undefined) return '';
  const across = near.find((one) => one.mm < 3 * first.mm + 5 && angle(first, one) > APART_DEGREES);
  if (across === undefined) return `beside ${partName(board, first.index)}`;
  return `between ${partName(board, first.index)} and ${partName(board, across.index)}`;
}

function angle(a: { x: number; y: number }, b: { x: number; y: number }): number {
  const product = a.x * b.x + a.y * b.y;
  const lengths = Math.hypot(a.x, a.y) * Math.hypot(b.x, b.y);
  return lengths === 0
    ? 0
    : (Math.acos(Math.max(-1, Math.min(1, product / lengths))) * 180) / Math.PI;
}
