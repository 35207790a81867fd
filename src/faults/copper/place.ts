import type { Board } from '../../board/model.ts';
import type { CopperPair } from '../../circuit/copper/copper-map.ts';
import { padDistance, padOf } from '../../circuit/copper/pads.ts';
import type { Fault } from '../fault.ts';

/** A pin on either side of a rail's copper where a fault may join the two. */
export type Place = readonly [number, number];

/** Places of one part at most: more of them lie too close together to matter. */
const MOST_PLACES = 4;
/** Places tried for a bridge or link nobody has seen. */
const MOST_UNSEEN = 24;

/**
 * Where a fault may join both sides; empty when it does not. A part with several pins on a side may
 * have failed at any of them.
 */
export function placesOf(board: Board, { pins }: CopperPair, fault: Fault): Place[] {
  const found: Place[] = [];
  for (const branch of fault.branches) {
    if (branch.pinA < 0 || branch.pinB < 0) continue;
    const turned = pins[1].has(branch.pinA);
    const [one, other] = turned ? [branch.pinB, branch.pinA] : [branch.pinA, branch.pinB];
    if (!pins[0].has(one) || !pins[1].has(other)) continue;
    const [ones, others] = [alike(board, one, pins[0]), alike(board, other, pins[1])];
    ones.forEach((pin, k) => {
      found.push([pin, others[k % others.length] as number]);
    });
  }
  return spread(found, MOST_PLACES);
}

/** Pins of the same part on the same net. */
function alike(board: Board, pin: number, known: ReadonlySet<number>): number[] {
  const { part, net } = board.pins[pin] ?? {};
  const all = board.parts[part ?? -1]?.pins ?? [pin];
  return all.filter((other) => known.has(other) && board.pins[other]?.net === net);
}

/** Wherever both sides come close, at parts across them: where a bridge may be. */
export function unseenPlaces(board: Board, { pins }: CopperPair): Place[] {
  const found: Place[] = [];
  for (const part of board.parts) {
    const one = part.pins.find((pin) => pins[0].has(pin));
    const other = part.pins.find((pin) => pins[1].has(pin));
    if (one !== undefined && other !== undefined) found.push([one, other]);
  }
  return spread(found, MOST_UNSEEN);
}

/** Some of them, evenly. */
function spread<T>(all: readonly T[], most: number): T[] {
  if (all.length <= most) return [...all];
  return Array.from({ length: most }, (_, k) => all[Math.floor((k * all.length) / most)] as T);
}

/** The pad of one side that lies nearest to whichever of some pins is on a net of that side. */
export function nearestPad(
  board: Board,
  { nets, pins }: CopperPair,
  side: 0 | 1,
  from: readonly number[],
): number | undefined {
  const own = from.find((pin) => nets[side].has(board.pins[pin]?.net ?? -1));
  const pad = own === undefined ? undefined : padOf(board, own);
  if (own !== undefined && pins[side].has(own)) return own;
  if (pad === undefined) return undefined;
  let best: number | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const pin of pins[side]) {
    const other = padOf(board, pin);
    if (other === undefined || other.net !== pad.net) continue;
    const mm = padDistance(pad, other);
    if (mm < least) {
      least = mm;
      best = pin;
    }
  }
  return best;
}
