import type { Board, Rail } from '../board/model.ts';
import { padPlace } from '../board/placed-board.ts';
import type { Advice } from '../steps/step.ts';
import { netName, partNames } from './names.ts';
import type { DrawnRail } from './picture/rail-named.ts';
import { counted, runsOf } from './words.ts';

/** What positions would buy on a rail where many parts lie in parallel and places are missing. */
export interface PositionsView {
  readonly rail: string;
  /** Parts of two legs straight across the rail: one beep for all of them. */
  readonly alike: readonly string[];
  /** Pads on the plus net, and how many of them have a place. */
  readonly points: number;
  readonly placed: number;
  /** All of it in plain words. */
  readonly text: string;
}

/** With fewer in parallel, lifting one after the other is no great matter. */
const MANY = 6;

/** Undefined where few parts lie in parallel, or every point of the rail has its place. */
export function viewPositions(board: Board, rail: DrawnRail): PositionsView | undefined {
  const alike = partNames(board, partsAcross(board, rail));
  const pins = board.nets[rail.plus]?.pins ?? [];
  const placed = pins.filter((pin) => padPlace(board, pin) !== undefined).length;
  if (alike.length < MANY || placed === pins.length) return undefined;
  const net = netName(board, rail.plus);
  const first = alike.find((name) => board.partNamed.get(name)?.at === undefined) ?? alike[0];
  const text = [
    `${placed === 0 ? 'none' : placed} of the ${counted(pins.length, 'point')} of ${net} ${placed === 1 ? 'has' : 'have'} a position.`,
    `With positions, four-wire or millivolt readings along the rail could narrow ${runsOf(alike, 5)} (${counted(alike.length, 'part')} that read alike) without lifting.`,
    `Import them, or type them in mm: at ${first} 31.5 20`,
  ].join(' ');
  return { rail: rail.name ?? net, alike, points: pins.length, placed, text };
}

/** The same for every rail of the board file. */
export function railPositions(board: Board): PositionsView[] {
  return board.rails.flatMap((rail) => viewPositions(board, rail) ?? []);
}

/**
 * The same for the rail that most suspects lie across, while it is the fault that is looked for.
 * @param suspects  parts that the explanations so far would renew
 */
export function positionsFor(
  board: Board,
  { phase }: Advice,
  suspects: readonly number[],
): PositionsView | undefined {
  const rail = phase === 'isolate' ? suspectedRail(board, suspects) : undefined;
  return rail && viewPositions(board, rail);
}

/** The rail that most suspects lie across, where there are many of them. */
export function suspectedRail(board: Board, suspects: readonly number[]): Rail | undefined {
  const suspected = new Set(suspects);
  let best: { readonly rail: Rail; readonly count: number } | undefined;
  for (const rail of board.rails) {
    const count = partsAcross(board, rail).filter((part) => suspected.has(part)).length;
    if (count >= MANY && count > (best?.count ?? 0)) best = { rail, count };
  }
  return best?.rail;
}

/** Parts of two legs straight across a rail. */
export function partsAcross(board: Board, { plus, minus }: DrawnRail): number[] {
  return board.parts
    .filter(({ pins, kind }) => {
      const nets = pins.map((pin) => board.pins[pin]?.net);
      return pins.length === 2 && !kind.link && nets.includes(plus) && nets.includes(minus);
    })
    .map(({ index }) => index);
}
