import type { Board } from '../board/model.ts';
import type { Probe } from '../circuit/reading.ts';
import type { Evidence } from '../faults/evidence.ts';
import { type Clock, mountOf } from './bench-times.ts';

/**
 * Minutes to turn a board over, and for a hand to go a millimetre further. Estimates of our own: a
 * heavy board on its heatsinks is not turned in a moment.
 */
const FLIP_MINUTES = 0.2;
const MINUTES_PER_MM = 0.0005;

/**
 * Of the minutes of a reading, what it takes while one probe stays where it is: the board lies right and one
 * hand does not look for its point. An estimate of our own.
 */
export const HELD_SHARE = 0.4;

/** Pads that only the side they sit on can be reached from. */
const FLAT: ReadonlySet<string> = new Set([
  'chip',
  'small outline',
  'fine pitch',
  'thermal pad',
  'ball grid',
]);

type Side = 'top' | 'bottom';

/** A place for a probe: mm, and the sides it can be reached from. */
interface Pad {
  readonly at: readonly [number, number];
  readonly sides: readonly Side[];
}

/**
 * Minutes it takes to go from one pair of points to another, beside the reading itself: turning the
 * board, and the way of both hands. 0 where the board file has no places to go by.
 */
export function reachMinutes(board: Board, from: Probe, to: Probe): number {
  const before = [padsAt(board, from.red.net), padsAt(board, from.black.net)];
  const after = [padsAt(board, to.red.net), padsAt(board, to.black.net)];
  if ([...before, ...after].some((pads) => pads.length === 0)) return 0;
  const [red = [], black = []] = before;
  const [nextRed = [], nextBlack = []] = after;
  // Which probe goes where is all the same to most readings.
  const straight = way(red, nextRed) + way(black, nextBlack);
  const crossed = way(red, nextBlack) + way(black, nextRed);
  const sides = sidesOf(nextRed).filter((side) => sidesOf(nextBlack).includes(side));
  const were = sidesOf(red).filter((side) => sidesOf(black).includes(side));
  const isFlipped =
    were.length > 0 && sides.length > 0 && !sides.some((side) => were.includes(side));
  return (isFlipped ? FLIP_MINUTES : 0) + MINUTES_PER_MM * Math.min(straight, crossed);
}

/**
 * Minutes of a reading across the board: less where a probe can stay where the last reading had it and the
 * board was left alone since.
 */
export function readingMinutes(
  clock: Clock,
  { readings, lastChange }: Pick<Evidence, 'readings' | 'lastChange'>,
  probe: Probe,
): number {
  const last = readings.at(-1);
  if (last === undefined || last.id < lastChange) return clock.read(probe);
  return clock.read(probe) * (keepsProbe(last, probe) ? HELD_SHARE : 1);
}

/** Minutes of a reading right after another. */
export function minutesAfter(clock: Clock, before: Probe, probe: Probe): number {
  return clock.read(probe) * (keepsProbe(before, probe) ? HELD_SHARE : 1);
}

/** Whether a probe can stay where it is from one reading to the next. */
export function keepsProbe(before: Probe, { mode, red, black }: Probe): boolean {
  if (before.offPart !== undefined || before.mode !== mode) return false;
  const were = [before.red.net, before.black.net];
  return were.includes(red.net) || were.includes(black.net);
}

/** The shortest way between some pad of one net and some pad of another, mm. */
function way(from: readonly Pad[], to: readonly Pad[]): number {
  let least = Number.POSITIVE_INFINITY;
  for (const { at: a } of from) {
    for (const { at: b } of to) least = Math.min(least, Math.hypot(a[0] - b[0], a[1] - b[1]));
  }
  return least;
}

function sidesOf(pads: readonly Pad[]): Side[] {
  return [...new Set(pads.flatMap(({ sides }) => sides))];
}

/** More pads than this are not gone through: a net with so many is at hand everywhere. */
const MOST_PADS = 12;

function padsAt(board: Board, net: number): Pad[] {
  const pins = board.nets[net]?.pins ?? [];
  return pins
    .flatMap((pin): Pad[] => {
      const part = board.parts[board.pins[pin]?.part ?? -1];
      const at = board.pins[pin]?.at ?? part?.at;
      if (part === undefined || at === undefined) return [];
      const own = part.side ?? 'top';
      return [{ at, sides: FLAT.has(mountOf(part)) ? [own] : ['top', 'bottom'] }];
    })
    .slice(0, MOST_PADS);
}
