/** A folder of job records as it is now: what the index has of files that did not change, and what the others teach. */
import { readFileSync, statSync } from 'node:fs';
import {
  type FolderIndex,
  type IndexContents,
  type KeptFile,
  NO_MODEL,
  type Section,
  type SeenFile,
  sumOf,
} from './folder-index.ts';
import type { Lesson } from './lesson.ts';
import { modelName } from './models.ts';

type Row = SeenFile & { readonly section: string };

/** A file that changed. */
export interface ChangedFile {
  readonly file: string;
  /** As long as it stays the same, so does the file. */
  readonly stamp: string;
  /** Absent: it teaches nothing. */
  readonly lesson?: Lesson;
}

export interface Readers {
  /** What a file teaches; undefined when it is no job record, or its board is not to be had. */
  readonly teach: (path: string) => Promise<Lesson | undefined>;
  /** Told before records are read, how many. */
  readonly onReading?: ((count: number) => void) | undefined;
  /** Called once so many records were read that a run cut short should not lose them. */
  readonly onMany: (now: FolderNow) => void;
}

/** After so many records read, and whenever there are twice as many, the index is written. */
const WRITE_AFTER = 500;

export class FolderNow {
  readonly #folder: string;
  readonly #index: FolderIndex;
  readonly #seen: readonly SeenFile[];
  /** Rows of the index, until a file has changed; those as they are now since. */
  #rows: Map<string, Row> | undefined;
  /** Sections that are not as the index has them. */
  readonly #edited = new Map<string, Map<string, KeptFile>>();
  #changes = 0;

  /** @param files that may be job records, as seen from the folder */
  constructor(folder: string, files: readonly string[], index: FolderIndex) {
    this.#folder = folder;
    this.#index = index;
    this.#seen = files.flatMap((file) => {
      const stat = statSync(`${folder}/${file}`, { throwIfNoEntry: false });
      return stat === undefined ? [] : [{ file, size: stat.size, changed: stat.mtimeMs }];
    });
  }

  /** Reads what is new, or was written on. @throws {DamagedIndex} */
  async bringUp({ teach, onReading, onMany }: Readers): Promise<void> {
    if (this.#index.fits(this.#seen)) return;
    const known = this.#index.files();
    this.#rows = known;
    const now = new Set(this.#seen.map(({ file }) => file));
    for (const { file } of [...known.values()]) if (!now.has(file)) this.#drop(file);
    const changed = this.#seen.filter(({ file, size, changed: at }) => {
      const held = known.get(file);
      return held?.size !== size || held.changed !== at;
    });
    if (changed.length > 0) onReading?.(changed.length);
    let next = WRITE_AFTER;
    for (const [count, seen] of changed.entries()) {
      if (count === next) {
        onMany(this);
        next *= 2;
      }
      await this.#read(seen, teach);
    }
  }

  /** Files that were read, or are gone. */
  get changes(): number {
    return this.#changes;
  }

  get files(): number {
    return this.#seen.length;
  }

  /** Names of sections that hold any file; files that teach nothing have one of their own. */
  get sections(): string[] {
    const names = new Set([...this.#index.sections, ...this.#edited.keys()]);
    return [...names].filter((name) => (this.#edited.get(name)?.size ?? 1) > 0).sort();
  }

  /** Sections that are not as the index has them, emptied ones among them. */
  get edited(): string[] {
    return [...this.#edited.keys()];
  }

  /** @throws {DamagedIndex} */
  lessonsIn(name: string): Lesson[] {
    return [...this.#section(name).values()].flatMap(({ lesson }) => lesson ?? []);
  }

  /** Files that are not as they were seen before, with what they teach. @throws {DamagedIndex} */
  since(before: ReadonlyMap<string, string>): ChangedFile[] {
    const rows = this.#rows ?? this.#index.files();
    return this.#seen.flatMap(({ file, size, changed }) => {
      const stamp = `${size} ${changed}`;
      const section = rows.get(file)?.section;
      if (before.get(file) === stamp || section === undefined) return [];
      const lesson = this.#section(section).get(file)?.lesson;
      return [{ file, stamp, ...(lesson === undefined ? {} : { lesson }) }];
    });
  }

  /** All of it as an index is to hold it: what did not change goes over as it is. */
  contents(): IndexContents {
    const rows = this.#rows ?? this.#index.files();
    const files = this.#seen.flatMap(({ file }) => rows.get(file) ?? []);
    const sections = this.sections.map((name) => {
      const held = this.#edited.get(name) ?? this.#index.raw(name) ?? this.#section(name);
      return [name, held] as const;
    });
    return { files, sections: new Map(sections) };
  }

  #section(name: string): Section {
    return this.#edited.get(name) ?? this.#index.section(name);
  }

  /** A file that was only touched teaches what it taught before. */
  async #read(seen: SeenFile, teach: Readers['teach']): Promise<void> {
    const { file } = seen;
    const path = `${this.#folder}/${file}`;
    const before = this.#rows?.get(file);
    const held = before === undefined ? undefined : this.#section(before.section).get(file);
    const sum = contentSum(path);
    if (sum === undefined) {
      this.#drop(file);
      return;
    }
    this.#changes += 1;
    if (before !== undefined && held?.sum === sum) {
      this.#rows?.set(file, { ...seen, section: before.section });
      return;
    }
    const lesson = await teach(path);
    if (before !== undefined) this.#edit(before.section).delete(file);
    const section = lesson === undefined ? NO_MODEL : modelName(lesson);
    this.#edit(section).set(file, lesson === undefined ? { sum } : { sum, lesson });
    this.#rows?.set(file, { ...seen, section });
  }

  #drop(file: string): void {
    const before = this.#rows?.get(file);
    if (before === undefined) return;
    this.#changes += 1;
    this.#edit(before.section).delete(file);
    this.#rows?.delete(file);
  }

  #edit(name: string): Map<string, KeptFile> {
    const held = this.#edited.get(name) ?? new Map(this.#index.section(name));
    this.#edited.set(name, held);
    return held;
  }
}

function contentSum(path: string): string | undefined {
  try {
    return sumOf(readFileSync(path));
  } catch {
    return undefined;
  }
}
