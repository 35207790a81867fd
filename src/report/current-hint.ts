import type { Board } from '../board/model.ts';
import { padPlace } from '../board/placed-board.ts';
import { harmless } from '../board/shown-text.ts';
import type { Advice } from '../steps/step.ts';
import { netName, partNames } from './names.ts';
import { partsAcross, suspectedRail } from './positions.ts';
import { counted, runsOf } from './words.ts';

/** That a current would tell parts apart without a lift, where the meter cannot by itself. */
export interface CurrentHint {
  readonly rail: string;
  /** Suspects that lie across it and read alike. */
  readonly alike: readonly string[];
  readonly text: string;
}

/** Of the pads on a rail's plus so many have a place, or millivolts say little of where the short is. */
const PLACED_SHARE = 0.5;

/**
 * Undefined where lifting is no great matter, places are missing, or the fault is not looked for.
 * @param suspects parts that the explanations so far would renew
 */
export function currentHint(
  board: Board,
  { phase }: Advice,
  suspects: readonly number[],
): CurrentHint | undefined {
  const rail = phase === 'isolate' ? suspectedRail(board, suspects) : undefined;
  if (rail === undefined) return undefined;
  const pins = board.nets[rail.plus]?.pins ?? [];
  const placed = pins.filter((pin) => padPlace(board, pin) !== undefined).length;
  if (placed < PLACED_SHARE * pins.length) return undefined;
  const suspected = new Set(suspects);
  const alike = partNames(
    board,
    partsAcross(board, rail).filter((part) => suspected.has(part)),
  );
  const text = [
    `A current injected into ${netName(board, rail.plus)}, and millivolts from pad to pad, could narrow ${runsOf(alike, 5)} (${counted(alike.length, 'part')}) without a lift.`,
    `How: trace-short board ${harmless(board.file)} --inject "${harmless(rail.name)}"`,
  ].join(' ');
  return { rail: harmless(rail.name), alike, text };
}
