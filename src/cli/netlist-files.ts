import { closeSync, fstatSync, openSync, readSync, realpathSync, statSync } from 'node:fs';
import { dirname, isAbsolute, relative, resolve } from 'node:path';
import type { Included, IncludeOpener } from '../board/import/spice/deck.ts';
import type { Pieces } from '../board/import/text-lines.ts';
import type { Context } from './context.ts';
import { attempt, readChunks } from './files.ts';
import { ReadingLine } from './reading-line.ts';

/** Bytes taken from a file at a time. */
const PIECE = 1 << 17;

/**
 * A netlist or a list, in pieces that are read as they are asked for; progress on stderr where it
 * takes long. Standard input is taken whole, as far as any input is.
 * @throws {InputError} when it cannot be read
 */
export async function openPieces(context: Context, path: string): Promise<Pieces> {
  if (path === '-') return await readChunks(context.stdin);
  const handle = attempt(path, () => {
    // Opened first, so that what is looked at is what is read.
    const opened = openSync(path, 'r');
    if (!fstatSync(opened).isDirectory()) return opened;
    closeSync(opened);
    throw Object.assign(new Error('a folder'), { code: 'EISDIR' });
  });
  const { size } = fstatSync(handle);
  const line = await ReadingLine.for(context, path, size);
  return piecesOf(handle, path, line);
}

function* piecesOf(handle: number, path: string, line: ReadingLine): Generator<Uint8Array> {
  const bytes = new Uint8Array(PIECE);
  try {
    let read = 0;
    for (;;) {
      const count = attempt(path, () => readSync(handle, bytes));
      if (count === 0) return;
      read += count;
      line.tell(read);
      yield bytes.subarray(0, count);
    }
  } finally {
    line.wipe();
    closeSync(handle);
  }
}

/**
 * Opens files that a deck includes, from the deck's own folder and below. A path or a link that
 * leads elsewhere is refused, as a deck from somewhere could otherwise have any file read.
 */
export function includesBeside(deck: string): IncludeOpener {
  const root = realpathSync(dirname(resolve(deck)));
  return (path, from): Included => {
    const wanted = resolve(dirname(resolve(from)), path.replaceAll('\\', '/'));
    let real: string;
    try {
      real = realpathSync(wanted);
      if (isOutside(root, real)) return { refused: "it lies outside the deck's folder" };
      if (!statSync(real).isFile()) return { refused: 'it is no file' };
    } catch {
      if (isOutside(root, wanted)) return { refused: "it lies outside the deck's folder" };
      return { refused: "there is no such file in the deck's folder" };
    }
    const handle = openSync(real, 'r');
    return { file: wanted, pieces: piecesOf(handle, path, ReadingLine.silent()) };
  };
}

function isOutside(root: string, path: string): boolean {
  const way = relative(root, path);
  return way === '..' || way.startsWith('../') || way.startsWith('..\\') || isAbsolute(way);
}
