import type { Board, Part, Rail } from '../../board/model.ts';
import { padPlace } from '../../board/placed-board.ts';
import { partName, pinName } from '../names.ts';
import type { Side } from './model.ts';

/** A spot of the rail where a probe can go, with the pads that lie there. */
export interface Place {
  readonly name: string;
  readonly part: number;
  /** Board-wide pin numbers on the rail's two nets. */
  readonly pins: readonly number[];
  /** mm. */
  readonly at: readonly [number, number];
  readonly side: Side;
}

type Nets = Pick<Rail, 'plus' | 'minus'>;

/** Pads of a part nearer than this are one spot to a probe, mm. */
const ONE_SPOT_MM = 0.5;

/**
 * The places of a rail: its parts, large ones pad by pad, and whatever else is probed.
 * @param probed  pins that readings and the next step name
 * @returns places in the order of the parts, and parts on the plus net whose place is not known
 */
export function placesOf(
  board: Board,
  nets: Nets,
  probed: ReadonlySet<number>,
): { readonly places: readonly Place[]; readonly unplaced: readonly number[] } {
  const places: Place[] = [];
  const unplaced: number[] = [];
  for (const part of board.parts) {
    const own = part.pins.filter((pin) => isOn(board, pin, nets.plus));
    const ground = part.pins.filter((pin) => isOn(board, pin, nets.minus));
    const found =
      own.length > 0
        ? partPlaces(board, part, own, ground)
        : ground.filter((pin) => probed.has(pin)).flatMap((pin) => padOf(board, part, pin));
    places.push(...found);
    if (own.length > 0 && found.length === 0) unplaced.push(part.index);
  }
  return { places, unplaced };
}

function isOn(board: Board, pin: number, net: number): boolean {
  return board.pins[pin]?.net === net;
}

function partPlaces(
  board: Board,
  part: Part,
  own: readonly number[],
  ground: readonly number[],
): Place[] {
  const spots = spotsOf(board, own);
  const [first] = spots;
  if (first === undefined) return [];
  if (spots.length === 1) {
    const pins = [...own, ...ground];
    const at = own.length === 1 ? (meanPlace(board, pins) ?? first.at) : first.at;
    return [{ name: partName(board, part.index), part: part.index, pins, at, side: sideOf(part) }];
  }
  const near = (pin: number): number => nearest(spots, padPlace(board, pin) ?? first.at);
  return spots.map(({ pins, at }, index) => ({
    name: pinName(board, pins[0] ?? -1),
    part: part.index,
    pins: [...pins, ...ground.filter((pin) => near(pin) === index)],
    at,
    side: sideOf(part),
  }));
}

interface Spot {
  readonly pins: number[];
  readonly at: readonly [number, number];
}

function spotsOf(board: Board, pins: readonly number[]): Spot[] {
  const spots: Spot[] = [];
  for (const pin of pins) {
    const at = padPlace(board, pin);
    if (at === undefined) continue;
    const same = spots.find((spot) => apart(spot.at, at) <= ONE_SPOT_MM);
    if (same === undefined) spots.push({ pins: [pin], at });
    else same.pins.push(pin);
  }
  return spots;
}

function padOf(board: Board, part: Part, pin: number): Place[] {
  const at = padPlace(board, pin);
  if (at === undefined) return [];
  const name = part.pins.length === 1 ? partName(board, part.index) : pinName(board, pin);
  return [{ name, part: part.index, pins: [pin], at, side: sideOf(part) }];
}

/** A part that names no side can be reached from the top, where most sit. */
function sideOf({ side }: Part): Side {
  return side ?? 'top';
}

function meanPlace(board: Board, pins: readonly number[]): [number, number] | undefined {
  const known = pins.flatMap((pin) => padPlace(board, pin) ?? []);
  const count = known.length / 2;
  if (count === 0) return undefined;
  const sum = (axis: number): number =>
    known.reduce((total, mm, index) => (index % 2 === axis ? total + mm : total), 0);
  return [sum(0) / count, sum(1) / count];
}

function nearest(spots: readonly Spot[], at: readonly [number, number]): number {
  let best = 0;
  for (const [index, spot] of spots.entries()) {
    if (apart(spot.at, at) < apart(spots[best]?.at ?? spot.at, at)) best = index;
  }
  return best;
}

function apart(a: readonly [number, number], b: readonly [number, number]): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}
