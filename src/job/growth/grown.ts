import { grownBoard } from '../../board/grown-board.ts';
import type { Growth } from '../../board/growth.ts';
import type { Board } from '../../board/model.ts';
import type { JobEvent } from '../event-line.ts';
import { scanSay } from '../scan.ts';
import { lineOf } from '../words.ts';
import { resolveGrowth } from './resolve.ts';
import { isGrowth } from './scan.ts';

/** Nothing seen that the board file lacks. */
export const NO_GROWTH: readonly Growth[] = [];

/** Whether a line may be a statement of what was seen; the board decides. */
export function mayBeGrowth(text: string): boolean {
  return /^\s*\S+(?:\s+\S+)?\s+(?:joins|goes|is)\s/iu.test(text);
}

/**
 * What the standing events say that an eye saw, each read against the board as those before leave it.
 * Lines that fit it no more are left out; replaying the job tells of them.
 */
export function growthsIn(board: Board, standing: readonly JobEvent[]): readonly Growth[] {
  const said = standing.filter(({ say }) => mayBeGrowth(say));
  if (said.length === 0) return NO_GROWTH;
  const growths: Growth[] = [];
  for (const { say } of said) {
    const growth = growthOf(grownBoard(board, growths), say);
    if (growth !== undefined) growths.push(growth);
  }
  return growths.length === 0 ? NO_GROWTH : growths;
}

function growthOf(board: Board, say: string): Growth | undefined {
  const line = lineOf(say);
  try {
    const scanned = scanSay(line);
    return isGrowth(scanned)
      ? resolveGrowth({ board, line, faults: [] }, scanned, false)
      : undefined;
  } catch {
    return undefined;
  }
}

const grown = new WeakMap<readonly Growth[], WeakMap<Board, Board>>();
const holds = new WeakMap<Board, readonly Growth[]>();

/** The board with all of it put in; the same statements give the same board. */
export function withGrowths(board: Board, growths: readonly Growth[]): Board {
  if (growths.length === 0 || holds.get(board) === growths) return board;
  const held = grown.get(growths) ?? new WeakMap<Board, Board>();
  grown.set(growths, held);
  const made = held.get(board) ?? grownBoard(board, growths);
  held.set(board, made);
  return made === board ? board : holding(made, growths);
}

/** Notes of a board that these statements are in it: a part of the job's past is of it all the same. */
export function holding(board: Board, growths: readonly Growth[]): Board {
  if (growths.length > 0) holds.set(board, growths);
  return board;
}

/** What is in a board that was made with statements put in; nothing for one as its file has it. */
export const heldBy = (board: Board): readonly Growth[] | undefined => holds.get(board);
