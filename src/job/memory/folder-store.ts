import { join } from 'node:path';
import { type Desk, NODE_DESK } from '../disk.ts';
import { addCorrection, readCorrections } from './corrections-file.ts';
import { DamagedIndex, FolderIndex, NO_MODEL, writeIndex } from './folder-index.ts';
import { type ChangedFile, FolderNow } from './folder-now.ts';
import type { Lesson } from './lesson.ts';
import { lessonReads } from './lesson-reads.ts';
import { type ModelSums, pastOfSums, sumsOf } from './model-sums.ts';
import { byModel, type Corrections, goesBy, modelName } from './models.ts';
import type { Past } from './past.ts';
import type { MemoryRules } from './rules.ts';
import type { BoardName, MemoryStore } from './store.ts';

/** Folder of the memory, in that of the job records. */
export const MEMORY_FOLDER = '.trace-short';
/** A folder with fewer files gets no index before one of them teaches something. */
const WORTH_AN_INDEX = 50;
/** An index of so many files is written anew for every further change: writing costs more than reading a few again. */
const FILES_PER_WRITE = 10_000;

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

/** A store that can tell what came since it was asked last. */
export interface FolderStore extends MemoryStore {
  /**
   * Files that changed, however many others lie beside them.
   * @param before stamps of the files as they were, by file
   */
  since(before: ReadonlyMap<string, string>): Promise<readonly ChangedFile[]>;
}

/** The memory of a folder: its job records, and beside them an index of what they taught. */
export function folderStore(memory: FolderMemory): FolderStore {
  const home = new Home(memory);
  const corrections = join(memory.folder, MEMORY_FOLDER, 'memory-corrections.jsonl');
  const corrected = async (said: Parameters<typeof addCorrection>[1]): Promise<void> =>
    addCorrection(corrections, said);
  const source = {
    lessons: () => home.lessons(),
    corrections: async (): Promise<Corrections> => readCorrections(corrections),
  };
  return {
    ...source,
    ...lessonReads(source),
    past: (board, rules) => home.past(board, rules, readCorrections(corrections)),
    since: (before) => home.since(before),
    forget: (job) => corrected({ forget: job }),
    recall: (job) => corrected({ recall: job }),
    merge: (name, same) => corrected({ merge: [name, same] }),
    rebuild: async () => {
      await home.lessons(FolderIndex.empty());
    },
  };
}

class Home {
  readonly #memory: FolderMemory;
  readonly #path: string;

  constructor(memory: FolderMemory) {
    this.#memory = memory;
    this.#path = join(memory.folder, MEMORY_FOLDER, 'memory-index.jsonl');
  }

  async lessons(index = FolderIndex.read(this.#path)): Promise<Lesson[]> {
    return this.#withIndex(index, async (held) => {
      const now = await this.#broughtUp(held);
      const lessons = now.sections.flatMap((name) => now.lessonsIn(name));
      if (isDue(now, held) && this.#isWorth(now, held)) this.#write(now);
      return lessons;
    });
  }

  async since(before: ReadonlyMap<string, string>): Promise<readonly ChangedFile[]> {
    return this.#withIndex(FolderIndex.read(this.#path), async (held) => {
      const now = await this.#broughtUp(held);
      const changed = now.since(before);
      if (isDue(now, held) && this.#isWorth(now, held)) this.#write(now);
      return changed;
    });
  }

  /** Adds up only models of which something changed; the others were added up before. */
  async past(
    board: BoardName,
    rules: MemoryRules,
    corrections: Corrections,
  ): Promise<Past | undefined> {
    return this.#withIndex(FolderIndex.read(this.#path), async (held) => {
      const now = await this.#broughtUp(held);
      const key = sumsKey(rules, corrections);
      const kept = held.sums(key);
      const models = sumsByModel(now, { kept, rules, corrections });
      const isStale = kept === undefined && now.files >= WORTH_AN_INDEX;
      if ((isStale || isDue(now, held)) && this.#isWorth(now, held)) {
        this.#write(now, { key, models });
      }
      if (models.size === 0) return undefined;
      const name = goesBy(modelName(board), corrections);
      const others = [...models].filter(([model]) => model !== name).map(([, sums]) => sums);
      return pastOfSums(models.get(name) ?? sumsOf([], rules), others);
    });
  }

  /** A damaged index costs reading all records anew, and no more. */
  async #withIndex<T>(index: FolderIndex, work: (index: FolderIndex) => Promise<T>): Promise<T> {
    try {
      return await work(index);
    } catch (error) {
      if (!(error instanceof DamagedIndex)) throw error;
      return work(FolderIndex.empty());
    }
  }

  async #broughtUp(index: FolderIndex): Promise<FolderNow> {
    const { folder, list, teach, onReading } = this.#memory;
    const now = new FolderNow(folder, list(), index);
    await now.bringUp({ teach, onReading, onMany: (some) => this.#write(some) });
    return now;
  }

  /** A folder in which nothing teaches yet stays as it is, while reading it anew costs little. */
  #isWorth(now: FolderNow, held: FolderIndex): boolean {
    return (
      held.sections.length > 0 ||
      now.files >= WORTH_AN_INDEX ||
      now.sections.some((name) => now.lessonsIn(name).some(({ teaches }) => teaches.weight > 0))
    );
  }

  #write(now: FolderNow, sums?: Parameters<typeof writeIndex>[1]['sums']): void {
    const { desk = NODE_DESK } = this.#memory;
    writeIndex(this.#path, { ...now.contents(), sums }, desk);
  }
}

function isDue({ changes, files }: FolderNow, held: FolderIndex): boolean {
  return changes > 0 && (held.sections.length === 0 || changes >= 1 + files / FILES_PER_WRITE);
}

/** What sums follow from beside the lessons, on one line. */
function sumsKey(rules: MemoryRules, { forgotten, sameAs }: Corrections): string {
  return JSON.stringify([rules, [...forgotten].sort(), [...sameAs].sort()]);
}

/** By the names that models go by, in order. */
function sumsByModel(
  now: FolderNow,
  {
    kept,
    rules,
    corrections,
  }: {
    readonly kept: ReadonlyMap<string, ModelSums> | undefined;
    readonly rules: MemoryRules;
    readonly corrections: Corrections;
  },
): Map<string, ModelSums> {
  const groups = new Map<string, string[]>();
  for (const section of now.sections) {
    if (section === NO_MODEL) continue;
    const name = goesBy(section, corrections);
    groups.set(name, [...(groups.get(name) ?? []), section]);
  }
  const touched = new Set(now.edited.map((section) => goesBy(section, corrections)));
  const names = [...groups.keys()].sort();
  return new Map(
    names.map((name) => {
      const held = touched.has(name) ? undefined : kept?.get(name);
      if (held !== undefined) return [name, held];
      const lessons = (groups.get(name) ?? []).flatMap((each) => now.lessonsIn(each));
      return [name, sumsOf(byModel(lessons, corrections).get(name) ?? [], rules)];
    }),
  );
}
