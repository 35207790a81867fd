import {
  closeSync,
  fsyncSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { InputError } from '../board/diagnostic.ts';

/** What a failed file call means to a person. */
const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  EISDIR: 'that is a folder, not a file',
  ENOTDIR: 'a part of that path is a file, not a folder',
  EACCES: 'reading or writing there is not allowed',
  EPERM: 'reading or writing there is not allowed',
  EROFS: 'that file system is read-only',
  ENOSPC: 'the disk is full',
  EMFILE: 'too many files are open',
  EEXIST: 'there is such a file already',
};

/** Largest input read, bytes; a board of ten thousand parts is a few megabytes. */
const LARGEST = 64 * 1024 * 1024;

/**
 * The text of a file, `-` being standard input.
 * @throws {InputError} when it cannot be read
 */
export async function readText(
  path: string,
  context: { readonly stdin: NodeJS.ReadStream },
): Promise<string> {
  if (path === '-') return await readStream(context.stdin); // made when asked for, which takes a while
  return attempt(path, () => {
    if (statSync(path).size > LARGEST) refuse(path, 'it is larger than 64 MB');
    return readFileSync(path, 'utf8');
  });
}

/**
 * Writes a whole file so that a reader sees the old one or the new one, never half of it.
 * @param overwrite false refuses when the file is there
 * @throws {InputError} when it cannot be written
 */
export function writeWhole(path: string, text: string, overwrite: boolean): void {
  const fresh = join(dirname(path), `.${basename(path)}.${process.pid}.tmp`);
  attempt(path, () => {
    if (!overwrite) closeSync(openSync(path, 'wx'));
    try {
      const handle = openSync(fresh, 'w');
      try {
        writeFileSync(handle, text);
        fsyncSync(handle);
      } finally {
        closeSync(handle);
      }
      renameSync(fresh, path);
    } catch (error) {
      rmSync(fresh, { force: true });
      if (!overwrite) rmSync(path, { force: true });
      throw error;
    }
  });
}

async function readStream(stdin: NodeJS.ReadStream): Promise<string> {
  return Buffer.concat(await readChunks(stdin)).toString('utf8');
}

/**
 * All of standard input, in the pieces it came in.
 * @throws {InputError} when it is larger than any input
 */
export async function readChunks(stdin: NodeJS.ReadStream): Promise<Buffer[]> {
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of stdin) {
    chunks.push(Buffer.from(chunk));
    size += chunk.length;
    if (size > LARGEST) refuse('-', 'it is larger than 64 MB');
  }
  return chunks;
}

/**
 * Does something to a file.
 * @throws {InputError} that says in words why it failed
 */
export function attempt<T>(path: string, act: () => T): T {
  try {
    return act();
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === undefined) throw error;
    return refuse(path, REASONS[code] ?? code);
  }
}

function refuse(path: string, reason: string): never {
  const name = path === '-' ? 'standard input' : `"${path}"`;
  const message = `${name}: ${reason}`;
  throw new InputError([{ code: 'FILE', severity: 'error', message }]);
}
