/** Files that only save work: replaced whole, in one step, and left as they are where that cannot be done. */
import { mkdirSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import { InputError } from '../../board/diagnostic.ts';
import type { Desk } from '../disk.ts';
import { atBest } from '../disk-problem.ts';
import { type Lock, releaseLock, takeLock } from '../lock.ts';

/** Where another run is writing the file, or the folder cannot be written, nothing happens. */
export function writeKept(
  path: string,
  content: () => string | readonly Uint8Array[],
  desk: Desk,
): void {
  atBest(() => {
    mkdirSync(dirname(path), { recursive: true });
    const lock = lockIfFree(path, desk);
    if (lock === undefined) return;
    try {
      const made = content();
      replaceFile(path, typeof made === 'string' ? [new TextEncoder().encode(made)] : made, desk);
    } finally {
      releaseLock(lock);
    }
  });
}

function lockIfFree(path: string, desk: Desk): Lock | undefined {
  try {
    return takeLock(path, desk);
  } catch (error) {
    if (error instanceof InputError) return undefined;
    throw error;
  }
}

function replaceFile(path: string, parts: readonly Uint8Array[], { disk, processId }: Desk): void {
  const aside = `${path}.${processId}.new`;
  rmSync(aside, { force: true });
  const fd = disk.open(aside, 'wx');
  try {
    let at = 0;
    for (const bytes of parts) {
      for (let done = 0; done < bytes.length; ) {
        const more = disk.write(fd, bytes.subarray(done), at);
        done += more;
        at += more;
      }
    }
    disk.sync(fd);
  } catch (error) {
    atBest(() => disk.remove(aside));
    throw error;
  } finally {
    atBest(() => disk.close(fd));
  }
  disk.rename(aside, path);
}
