import { type ReadingsFile, readReadings } from '../bench/readings-file.ts';
import type { Board } from '../board/model.ts';
import type { Context } from './context.ts';
import { printDiagnostics } from './diagnostics.ts';
import { readText } from './files.ts';

/**
 * Reads a readings file or a job record, `-` being standard input; warnings go to stderr.
 * @param board when given, points are checked against it
 * @throws {InputError} with every fault of the file
 */
export async function openReadings(
  context: Context,
  path: string,
  board?: Board,
): Promise<ReadingsFile & { readonly text: string }> {
  const text = await readText(path, context);
  const file = readReadings(text, path, board);
  printDiagnostics(context, file.warnings);
  return { ...file, text };
}
