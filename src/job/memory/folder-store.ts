import { readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { type Desk, NODE_DESK } from '../disk.ts';
import { addCorrection, readCorrections } from './corrections-file.ts';
import { type IndexEntry, readIndex, sumOf, writeIndex } from './folder-index.ts';
import type { Lesson } from './lesson.ts';
import { lessonReads } from './lesson-reads.ts';
import type { Corrections } from './models.ts';
import type { MemoryStore } from './store.ts';

/** Folder of the memory, in that of the job records. */
export const MEMORY_FOLDER = '.trace-short';
/** After so many records read the index is written, so that a run cut short was not for nothing. */
const WRITE_EVERY = 500;
const WORTH_AN_INDEX = 50;
/** An index of so many entries is written anew for every further change. */
const RECORDS_PER_WRITE = 500;

export interface FolderMemory {
  /** Folder of the job records. */
  readonly folder: string;
  /** Files that may be job records, as seen from the folder. */
  readonly list: () => readonly string[];
  /** What a file teaches; undefined when it is no job record, or its board is not to be had. */
  readonly teach: (path: string) => Promise<Lesson | undefined>;
  /** Told before records are read, how many. */
  readonly onReading?: (count: number) => void;
  readonly desk?: Desk;
}

/** The memory of a folder: its job records, and beside them an index of what they taught. */
export function folderStore(memory: FolderMemory): MemoryStore {
  const { folder, desk = NODE_DESK } = memory;
  const index = join(folder, MEMORY_FOLDER, 'memory-index.jsonl');
  const corrections = join(folder, MEMORY_FOLDER, 'memory-corrections.jsonl');
  const corrected = async (said: Parameters<typeof addCorrection>[1]): Promise<void> =>
    addCorrection(corrections, said);
  const lessons = async (known: ReadonlyMap<string, IndexEntry>): Promise<Lesson[]> => {
    const entries = await brought(memory, known, (now) => writeIndex(index, now, desk));
    return entries.flatMap(({ lesson }) => lesson ?? []);
  };
  const source = {
    lessons: () => lessons(readIndex(index)),
    corrections: async (): Promise<Corrections> => readCorrections(corrections),
  };
  return {
    ...source,
    ...lessonReads(source),
    forget: (job) => corrected({ forget: job }),
    recall: (job) => corrected({ recall: job }),
    merge: (name, same) => corrected({ merge: [name, same] }),
    rebuild: async () => {
      await lessons(new Map());
    },
  };
}

/** The entries as the files are now: only those that are new, or differ from what is known, are read. */
async function brought(
  { folder, list, teach, onReading }: FolderMemory,
  known: ReadonlyMap<string, IndexEntry>,
  write: (entries: readonly IndexEntry[]) => void,
): Promise<IndexEntry[]> {
  const now: IndexEntry[] = [];
  const changed: { readonly file: string; readonly size: number; readonly changed: number }[] = [];
  for (const file of list()) {
    const stat = statSync(join(folder, file), { throwIfNoEntry: false });
    if (stat === undefined) continue;
    const held = known.get(file);
    const seen = { file, size: stat.size, changed: stat.mtimeMs };
    if (held?.size === seen.size && held.changed === seen.changed) now.push(held);
    else changed.push(seen);
  }
  if (changed.length > 0) onReading?.(changed.length);
  let unwritten = 0;
  for (const seen of changed) {
    const entry = await entryOf(join(folder, seen.file), seen, known.get(seen.file), teach);
    if (entry === undefined) continue;
    now.push(entry);
    unwritten += 1;
    if (unwritten % WRITE_EVERY === 0) write([...now, ...notYet(changed, known, now)]);
  }
  const gone = Math.max(0, known.size + unwritten - now.length);
  // Writing a long index costs more than reading a few records again next time.
  const isDue = unwritten + gone >= 1 + known.size / RECORDS_PER_WRITE;
  // A folder in which nothing teaches yet stays as it is, while reading it anew costs little.
  const isWorth =
    known.size > 0 ||
    now.length >= WORTH_AN_INDEX ||
    now.some(({ lesson }) => lesson !== undefined && lesson.teaches.weight > 0);
  if (isWorth && isDue) write(now);
  return now;
}

/** What was known of files that are still to be read. */
function notYet(
  changed: readonly { readonly file: string }[],
  known: ReadonlyMap<string, IndexEntry>,
  now: readonly IndexEntry[],
): IndexEntry[] {
  const done = new Set(now.map(({ file }) => file));
  return changed.flatMap(({ file }) => {
    const held = known.get(file);
    return held === undefined || done.has(file) ? [] : [held];
  });
}

/** A file that was only touched teaches what it taught before. */
async function entryOf(
  path: string,
  seen: Pick<IndexEntry, 'file' | 'size' | 'changed'>,
  held: IndexEntry | undefined,
  teach: FolderMemory['teach'],
): Promise<IndexEntry | undefined> {
  let sum: string;
  try {
    sum = sumOf(readFileSync(path));
  } catch {
    return undefined;
  }
  if (held?.sum === sum) return { ...held, ...seen };
  const lesson = await teach(path);
  return { ...seen, sum, ...(lesson === undefined ? {} : { lesson }) };
}
