import { readReadings } from '../../bench/readings-file.ts';
import { InputError } from '../../board/diagnostic.ts';
import type { Board } from '../../board/model.ts';
import type { GoodReading } from '../../faults/good-board.ts';
import { isReference } from '../../job/reference.ts';
import { printValue } from '../../job/value.ts';
import type { Context } from '../context.ts';
import { readText } from '../files.ts';
import type { GoodLines } from './use-reference.ts';

/**
 * The table that `--reference` names, as lines; undefined when it was not given.
 * @throws {InputError} when the file is no such table, or does not fit the board
 */
export async function referenceOption(
  context: Context,
  option: unknown,
  board: Board,
): Promise<GoodLines | undefined> {
  if (typeof option !== 'string') return undefined;
  const text = await readText(option, context);
  if (!isReference(text)) {
    const message = `"${option}" holds no readings of a good board`;
    const hint = 'make such a table with: trace-short reference BOARD -o good.readings';
    throw new InputError([{ code: 'NO_REFERENCE', severity: 'error', message, hint }]);
  }
  return goodReadings(text, option, board).map(
    ({ red, black, mode, value }) => `${red} ${black} ${printValue({ mode, value })}`,
  );
}

/** Readings of lines that a job keeps; those at nets the board has no more are passed over. */
export function goodReadingsKept(lines: GoodLines, board: Board): GoodReading[] {
  return lines.flatMap((line) => {
    try {
      return goodReadings(line, 'reference', board);
    } catch (error) {
      if (error instanceof InputError) return [];
      throw error;
    }
  });
}

function goodReadings(text: string, file: string, board: Board): GoodReading[] {
  const name = (net: number): string => board.nets[net]?.name ?? '';
  return readReadings(text, file, board).readings.flatMap(({ reading }) => {
    if (reading === undefined || reading.offPart !== undefined) return [];
    const { red, black, mode, value } = reading;
    return [{ red: name(red.net), black: name(black.net), mode, value }];
  });
}
