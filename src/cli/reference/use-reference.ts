import type { Board } from '../../board/model.ts';
import { useSettings } from '../engine.ts';

/** A good board's readings as lines of the notation, kept with a job. */
export type GoodLines = readonly string[];

/** Weighs readings by what a good board read there, from here on. */
export async function useReference(board: Board, lines: GoodLines | undefined): Promise<void> {
  if (lines === undefined) return;
  const { goodReadingsKept } = await import('./good-readings.ts');
  useSettings(board, { reference: goodReadingsKept(lines, board) });
}
