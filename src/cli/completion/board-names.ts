/** What the board at hand calls its parts, pins, nets and rails. */
import { closeSync, existsSync, openSync, readFileSync, readSync } from 'node:fs';
import { dirname, isAbsolute, resolve } from 'node:path';
import { loadBoard } from '../../board/load.ts';
import type { Board } from '../../board/model.ts';

export interface BoardNames {
  readonly nets: readonly string[];
  /** Pins by part. */
  readonly parts: ReadonlyMap<string, readonly string[]>;
  readonly rails: readonly string[];
}

const NO_NAMES: BoardNames = { nets: [], parts: new Map(), rails: [] };

/** Names of a board file; none when it cannot be read, as nobody can be told here. */
export function namesOfBoard(path: string): BoardNames {
  try {
    return namesIn(loadBoard(readFileSync(path, 'utf8'), path).board);
  } catch {
    return NO_NAMES;
  }
}

/** Names of the board that a job is about, as far as its first line tells which file that is. */
export function namesOfJob(path: string): BoardNames {
  const file = boardFileIn(headOf(path));
  if (file === undefined) return NO_NAMES;
  const beside = isAbsolute(file) ? file : resolve(dirname(path), file);
  return namesOfBoard(existsSync(beside) ? beside : file);
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

const HEAD_BYTES = 16_384;

function headOf(path: string): string {
  try {
    const handle = openSync(path, 'r');
    try {
      const bytes = Buffer.alloc(HEAD_BYTES);
      return bytes.toString('utf8', 0, readSync(handle, bytes, 0, bytes.length, 0));
    } finally {
      closeSync(handle);
    }
  } catch {
    return '';
  }
}
