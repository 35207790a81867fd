/** The index of a folder of job records: what each taught, beside what tells whether it has changed since. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import type { Desk } from '../disk.ts';
import type { Expected } from './expected.ts';
import { writeKept } from './kept-file.ts';
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

const FORM = 'trace-short/memory-index/3';

/** The last line; what the handbooks expect of a board stands there once, as all its jobs share it. */
interface LastLine {
  readonly form: string;
  readonly expected: readonly Expected[];
  readonly sum: string;
}

/** Entries by file; none when there is no index, or it is not whole: it is made anew then. */
export function readIndex(path: string): Map<string, IndexEntry> {
  try {
    // Bytes, as far as they serve: an index of a big shop is long, and each text of it a copy.
    const bytes = readFileSync(path);
    const end = bytes.lastIndexOf('\n', bytes.length - 2) + 1;
    const last = JSON.parse(bytes.toString('utf8', end)) as LastLine;
    const body = bytes.subarray(0, end);
    if (last.form !== FORM || last.sum !== sumAll(body, last.expected)) return new Map();
    const entries = JSON.parse(body.toString('utf8')) as StoredEntry[];
    return new Map(entries.map((entry) => [entry.file, unpacked(entry, last.expected)]));
  } catch {
    return new Map();
  }
}

/**
 * Puts a whole index in place of the one before, in one step. Where another run is writing it, or the
 * folder cannot be written, nothing happens: the index only saves work.
 */
export function writeIndex(path: string, entries: Iterable<IndexEntry>, desk: Desk): void {
  writeKept(path, () => textOf(entries), desk);
}

function textOf(entries: Iterable<IndexEntry>): string {
  const places = new Map<string, number>();
  const lines = [...entries].map((entry) => JSON.stringify(packed(entry, places))).sort();
  const body = `[${lines.join(',\n')}]\n`;
  const expected = [...places.keys()].map((text) => JSON.parse(text) as Expected);
  const last: LastLine = { form: FORM, expected, sum: sumAll(body, expected) };
  return `${body}${JSON.stringify(last)}\n`;
}

/** An entry as it is written: the place of what is expected in the last line, in place of that. */
type StoredEntry = Omit<IndexEntry, 'lesson'> & {
  readonly lesson?: Omit<Lesson, 'expected'> & { readonly expected: number };
};

function packed({ lesson, ...entry }: IndexEntry, places: Map<string, number>): StoredEntry {
  if (lesson === undefined) return entry;
  const text = JSON.stringify(lesson.expected);
  const place = places.get(text) ?? places.size;
  places.set(text, place);
  return { ...entry, lesson: { ...lesson, expected: place } };
}

/** Puts back what the entry shares with others; in place, as it was just read and is nobody else's yet. */
function unpacked(entry: StoredEntry, expected: readonly Expected[]): IndexEntry {
  const { lesson } = entry;
  if (lesson !== undefined) Object.assign(lesson, { expected: expected[lesson.expected] });
  return entry as unknown as IndexEntry;
}

function sumAll(body: string | Uint8Array, expected: readonly Expected[]): string {
  return createHash('sha256').update(body).update(JSON.stringify(expected)).digest('hex');
}

export function sumOf(content: string | Uint8Array): string {
  return createHash('sha256').update(content).digest('hex');
}
