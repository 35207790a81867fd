/** Where on a net a clip or a probe is put most easily. */
import type { Board, Part } from '../board/model.ts';
import { printPin } from './points.ts';

/** By kind: what a clip holds on to, best first; anything else comes last. */
const HANDY: readonly string[] = [
  'test-point',
  'connector',
  'electrolytic',
  'jumper',
  'fuse',
  'film',
  'inductor',
  'tantalum',
];

/**
 * The first place the board file names for the net, else the pin that is handiest: `TP1`, `J1.2`.
 * @param avoid parts that are taken only where no other is on the net
 */
export function handyPlace(
  board: Board,
  net: number,
  avoid: ReadonlySet<number> = new Set(),
): string {
  const known = board.nets[net];
  const [place] = known?.points ?? [];
  if (place !== undefined) return place;
  const pins = (known?.pins ?? []).map((pin) => {
    const part = board.parts[board.pins[pin]?.part ?? -1];
    const own = handyRank(part);
    return { pin, part, rank: avoid.has(part?.index ?? -1) ? HANDY.length + 1 + own : own };
  });
  const best = pins.reduce<(typeof pins)[number] | undefined>(
    (held, each) => (held === undefined || each.rank < held.rank ? each : held),
    undefined,
  );
  if (best === undefined) return known?.name ?? '';
  const isOnePin = best.part?.pins.length === 1;
  return isOnePin ? (best.part?.name ?? '') : printPin(board, best.pin);
}

/** 0 for what a clip holds on to best, {@link LEAST_HANDY} for what it can hardly hold on to. */
export function handyRank(part: Part | undefined): number {
  const rank = HANDY.indexOf(part?.kind.name ?? '');
  return rank < 0 ? LEAST_HANDY : rank;
}

export const LEAST_HANDY: number = HANDY.length;
