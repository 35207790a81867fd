import { type Diagnostic, InputError } from '../../src/board/diagnostic.ts';
import type { Board } from '../../src/board/model.ts';
import type { BoardState } from '../../src/circuit/state.ts';
import { parseSay } from '../../src/job/notation.ts';

/** What a line of the notation is refused with; throws when it is accepted. */
export function faultsOf(board: Board, text: string, state?: BoardState): readonly Diagnostic[] {
  try {
    parseSay(board, text, state);
  } catch (error) {
    if (error instanceof InputError) return error.diagnostics;
    throw error;
  }
  throw new Error(`"${text}" was accepted`);
}

/** The words of a refused line that the carets stand under. */
export function pointedAt(board: Board, text: string): string[] {
  return faultsOf(board, text).map(({ place }) =>
    text.slice((place?.column ?? 1) - 1, (place?.endColumn ?? 1) - 1),
  );
}
