/** How much heat a part's joints take, and how it is best brought there. */
import type { Board, Part } from '../../board/model.ts';
import { mountOf } from '../../steps/bench-times.ts';
import { type Legs, legsOf } from './package-family.ts';

/** How a part is taken off and put on. */
export type HeatWay =
  | 'leads'
  | 'two ends'
  | 'legs in rows'
  | 'pad underneath'
  | 'balls underneath'
  | 'not known';

export interface Heat {
  readonly way: HeatWay;
  /** Pins on copper that carries heat away: rails, and nets with many pins. */
  readonly bigCopper: readonly number[];
  /** The heatsink has to come off, or the part off it, before the iron gets anywhere. */
  readonly heatsink?: string;
}

/** From so many pins on, a net is taken for an area of copper. */
const MANY_PINS = 12;

export function heatOf(board: Board, part: Part): Heat {
  return {
    way: wayOf(part),
    bigCopper: part.pins.filter((pin) => isBigCopper(board, board.pins[pin]?.net ?? -1)),
    ...(part.heatsink === undefined ? {} : { heatsink: part.heatsink }),
  };
}

/** Holes that a part's legs sit in; undefined where the board file does not tell. */
export function holesOf(part: Part): number | undefined {
  const legs: Legs = legsOf(part);
  return legs === 'not known' ? undefined : legs === 'holes' ? part.pins.length : 0;
}

function isBigCopper(board: Board, net: number): boolean {
  const isRail = board.rails.some(({ plus, minus }) => plus === net || minus === net);
  return isRail || (board.nets[net]?.pins.length ?? 0) >= MANY_PINS;
}

function wayOf(part: Part): HeatWay {
  const legs = legsOf(part);
  if (legs !== 'surface') return legs === 'holes' ? 'leads' : 'not known';
  switch (mountOf(part)) {
    case 'thermal pad':
      return 'pad underneath';
    case 'ball grid':
      return 'balls underneath';
    case 'chip':
    case 'link':
    case 'two leads':
      return 'two ends';
    default:
      return 'legs in rows';
  }
}
