/** The index of a folder of job records: what each taught, beside what tells whether it has changed since. */
import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import { InputError } from '../../board/diagnostic.ts';
import type { Desk } from '../disk.ts';
import { atBest } from '../disk-problem.ts';
import { type Lock, releaseLock, takeLock } from '../lock.ts';
import type { Lesson } from './lesson.ts';

/** What is kept of one file of the folder. */
export interface IndexEntry {
  /** As seen from the folder. */
  readonly file: string;
  readonly size: number;
  /** ms since 1970. */
  readonly changed: number;
  /** SHA-256 of its content, hex. */
  readonly sum: string;
  /** Absent: the file is no job record, or teaches nothing without its board. */
  readonly lesson?: Lesson;
}

const FORM = 'trace-short/memory-index/1';

/** Entries by file; none when there is no index, or it is not whole: it is made anew then. */
export function readIndex(path: string): Map<string, IndexEntry> {
  try {
    const text = readFileSync(path, 'utf8');
    const end = text.lastIndexOf('\n', text.length - 2) + 1;
    const last = JSON.parse(text.slice(end)) as { form?: unknown; sum?: unknown };
    const body = text.slice(0, end);
    if (last.form !== FORM || last.sum !== sumOf(body)) return new Map();
    const entries = JSON.parse(`[${body.trimEnd().replaceAll('\n', ',')}]`) as IndexEntry[];
    return new Map(entries.map((entry) => [entry.file, entry]));
  } catch {
    return new Map();
  }
}

/**
 * Puts a whole index in place of the one before, in one step. Where another run is writing it, or the
 * folder cannot be written, nothing happens: the index only saves work.
 */
export function writeIndex(path: string, entries: Iterable<IndexEntry>, desk: Desk): void {
  atBest(() => {
    mkdirSync(dirname(path), { recursive: true });
    const lock = lockIfFree(path, desk);
    if (lock === undefined) return;
    try {
      replaceFile(path, textOf(entries), desk);
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

function textOf(entries: Iterable<IndexEntry>): string {
  const lines = [...entries].map((entry) => `${JSON.stringify(entry)}\n`).sort();
  const body = lines.join('');
  return `${body}${JSON.stringify({ form: FORM, sum: sumOf(body) })}\n`;
}

function replaceFile(path: string, text: string, { disk, processId }: Desk): void {
  const aside = `${path}.${processId}.new`;
  rmSync(aside, { force: true });
  const fd = disk.open(aside, 'wx');
  try {
    const bytes = new TextEncoder().encode(text);
    for (let done = 0; done < bytes.length; ) {
      done += disk.write(fd, bytes.subarray(done), done);
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

export function sumOf(content: string | Uint8Array): string {
  return createHash('sha256').update(content).digest('hex');
}
