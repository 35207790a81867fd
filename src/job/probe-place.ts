/** The handiest pad of a net to put a probe on, and what holds it. */
import type { Board, Part } from '../board/model.ts';
import { padPlace } from '../board/placed-board.ts';
import type { Point } from '../circuit/reading.ts';
import type { Unreachable } from '../faults/evidence.ts';
import { mountOf } from '../steps/bench-times.ts';
import { handyRank, LEAST_HANDY } from './handy-place.ts';
import { fasteningOf, tabPinOf } from './repair/fastening.ts';
import { familyOf } from './repair/package-family.ts';

/** What a probe finds to stand on, the steadiest first. */
export const HOLDS = [
  'test point',
  'connector pin',
  'tab',
  'large pad',
  'leg',
  'small pad',
] as const;

export type Hold = (typeof HOLDS)[number];

export interface ProbePlace {
  readonly pin: number;
  readonly hold: Hold;
}

/** What a probe finds at a pin. */
export function holdOf(board: Board, pin: number): Hold {
  const part = board.parts[board.pins[pin]?.part ?? -1];
  if (part === undefined) return 'small pad';
  if (part.kind.name === 'test-point') return 'test point';
  if (part.kind.name === 'connector') return 'connector pin';
  if (isBareTab(board, part, pin)) return 'tab';
  const mount = mountOf(part);
  const isFlat = mount !== 'two leads' && mount !== 'three leads' && mount !== 'many leads';
  if (handyRank(part) < LEAST_HANDY && (!isFlat || mount === 'link')) return 'large pad';
  return isFlat && mount !== 'tab' ? 'small pad' : 'leg';
}

/** Metal of the tab that a probe can touch: not inside the body. */
function isBareTab(board: Board, part: Part, pin: number): boolean {
  if (tabPinOf(board, part) !== pin) return false;
  const family = familyOf(part);
  const hasTab = /tab/.test(family) || part.heatsink !== undefined;
  return hasTab && fasteningOf(board, part)?.insulator !== 'in the body';
}

/**
 * Pads of a net that probes reach: those the board file names as handy first, then by what holds a
 * probe best; of equals the one nearest to `near`.
 * @param near where the other probe is, mm
 */
export function probePlaces(
  board: Board,
  net: number,
  unreachable?: Unreachable,
  near?: readonly [number, number],
): ProbePlace[] {
  const { pins = [], points = [] } = board.nets[net] ?? {};
  const named = new Map(points.map((name, order) => [pinCalled(board, name), order]));
  const mm = (pin: number): number => distance(padPlace(board, pin), near);
  return pins
    .filter((pin) => unreachable?.pins.has(pin) !== true)
    .map((pin) => {
      const hold = holdOf(board, pin);
      const order = named.get(pin) ?? named.size + HOLDS.indexOf(hold);
      return { pin, hold, order, mm: mm(pin) };
    })
    .sort((x, y) => x.order - y.order || x.mm - y.mm || x.pin - y.pin)
    .map(({ pin, hold }) => ({ pin, hold }));
}

/** Where to put a probe for a point: the pin itself, else the handiest pad of the net; none where none is reached. */
export function probePlaceFor(
  board: Board,
  { net, pin }: Point,
  unreachable?: Unreachable,
  near?: readonly [number, number],
): ProbePlace | undefined {
  if (pin !== undefined) return { pin, hold: holdOf(board, pin) };
  return probePlaces(board, net, unreachable, near)[0];
}

function pinCalled(board: Board, name: string): number {
  const dot = name.indexOf('.');
  const part = board.partNamed.get(dot < 0 ? name : name.slice(0, dot));
  const own = part?.pins ?? [];
  if (dot < 0) return own.length === 1 ? (own[0] ?? -1) : -1;
  return own.find((pin) => board.pins[pin]?.name === name.slice(dot + 1)) ?? -1;
}

function distance(
  a: readonly [number, number] | undefined,
  b: readonly [number, number] | undefined,
): number {
  return a === undefined || b === undefined ? 0 : Math.hypot(a[0] - b[0], a[1] - b[1]);
}
