/** What turning the names of a line into board numbers needs at every turn. */
import type { Diagnostic } from '../board/diagnostic.ts';
import type { Board } from '../board/model.ts';
import { type Found, findPart } from './points.ts';
import { type Line, problem, type Word } from './words.ts';

/** A line being read against a board; faults gather so that all are told at once. */
export interface Resolving {
  readonly board: Board;
  readonly line: Line;
  readonly faults: Diagnostic[];
}

/** What was found; a fault is kept and gives nothing. */
export function take<T>(reading: Resolving, found: Found<T>): T | undefined {
  if ('ok' in found) return found.ok;
  reading.faults.push(found.fault);
  return undefined;
}

/** Keeps a fault and gives nothing. */
export function fail(
  reading: Resolving,
  words: readonly Word[],
  code: string,
  message: string,
  hint?: string,
): undefined {
  reading.faults.push(problem(reading.line, words, { code, message, hint }));
  return undefined;
}

/** The parts of some names; unknown names are kept as faults. */
export function partsOf(reading: Resolving, names: readonly Word[]): number[] {
  const { board, line } = reading;
  return names.flatMap((word) => take(reading, findPart(board, line, word))?.index ?? []);
}

/** The numbers as they are, and a fault when one is there twice. */
export function distinct(
  reading: Resolving,
  names: readonly Word[],
  numbers: readonly number[],
): readonly number[] {
  if (new Set(numbers).size < numbers.length) {
    fail(reading, names, 'NAMED_TWICE', 'something is named twice in one line', 'name each once');
  }
  return numbers;
}
