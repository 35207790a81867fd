/** What the board at hand calls its parts, pins, nets and rails. */
import { existsSync, readFileSync } from 'node:fs';
import { dirname, isAbsolute, resolve } from 'node:path';
import { loadBoard } from '../../board/load.ts';
import type { Board } from '../../board/model.ts';
import { growthsIn, withGrowths } from '../../job/growth/grown.ts';
import { takeBack } from '../../job/history.ts';
import { readRecord } from '../../job/read-record.ts';

export interface BoardNames {
  readonly nets: readonly string[];
  /** Pins by part. */
  readonly parts: ReadonlyMap<string, readonly string[]>;
  readonly rails: readonly string[];
}

const NO_NAMES: BoardNames = { nets: [], parts: new Map(), rails: [] };

/** Names of a board file; none when it cannot be read, as nobody can be told here. */
export function namesOfBoard(path: string): BoardNames {
  return orElse(() => namesIn(boardIn(path)), NO_NAMES);
}

/**
 * Names of the board that a job is about, as far as its first line tells which file that is, with the parts
 * and nets that were seen in the job.
 */
export function namesOfJob(path: string): BoardNames {
  const bytes = orElse(() => readFileSync(path), undefined);
  const record = bytes?.toString('utf8') ?? '';
  const file = boardFileIn(record);
  if (bytes === undefined || file === undefined) return NO_NAMES;
  const beside = isAbsolute(file) ? file : resolve(dirname(path), file);
  const board = orElse(() => boardIn(existsSync(beside) ? beside : file), undefined);
  if (board === undefined) return NO_NAMES;
  if (!SEEN.test(record)) return namesIn(board);
  return namesIn(orElse(() => asSeen(board, bytes, path), board));
}

/** Some line may say what was seen of the board; most records have none, and then none is read. */
const SEEN = /\s(?:joins|goes|is)\s/iu;

function asSeen(board: Board, record: Uint8Array, path: string): Board {
  const { standing } = takeBack(readRecord(record, path).events);
  return withGrowths(board, growthsIn(board, standing));
}

function boardIn(path: string): Board {
  return loadBoard(readFileSync(path, 'utf8'), path).board;
}

function orElse<T>(get: () => T, otherwise: T): T {
  try {
    return get();
  } catch {
    return otherwise;
  }
}

function namesIn(board: Board): BoardNames {
  const pinsOf = (pins: readonly number[]): string[] =>
    pins.map((pin) => board.pins[pin]?.name ?? '');
  return {
    nets: board.nets.map(({ name }) => name),
    parts: new Map(board.parts.map(({ name, pins }) => [name, pinsOf(pins)])),
    rails: board.rails.map(({ name }) => name),
  };
}

/** The opening event quotes its file as JSON does. */
function boardFileIn(head: string): string | undefined {
  const [, quoted] = /^- \{n: 1, .*?\bfile: ("(?:[^"\\]|\\.)*")/.exec(head) ?? [];
  try {
    return quoted === undefined ? undefined : (JSON.parse(quoted) as string);
  } catch {
    return undefined;
  }
}
