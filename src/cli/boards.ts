import type { Diagnostic } from '../board/diagnostic.ts';
import { loadBoard } from '../board/load.ts';
import type { Board } from '../board/model.ts';
import type { Context } from './context.ts';
import { readText } from './files.ts';

/** A board file that was read, with what is odd about it. */
export interface LoadedBoard {
  readonly board: Board;
  readonly warnings: readonly Diagnostic[];
}

/**
 * Reads and checks a board file, `-` being standard input.
 * @throws {InputError} with every error found in it
 */
export async function openBoard(context: Context, path: string): Promise<LoadedBoard> {
  return loadBoard(await readText(path, context), path);
}
