/**
 * The index of a folder of job records. Its parts stand one after the other in the file, each with a sum, and
 * only those that are asked for are read: the files as they were seen, what each taught by model, and what the
 * models add up to. Opening a job asks for a model or two however many there are.
 */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import type { Desk } from '../disk.ts';
import type { Expected } from './expected.ts';
import { writeKept } from './kept-file.ts';
import type { Lesson } from './lesson.ts';
import type { ModelSums } from './model-sums.ts';
import { packedSums, unpackedSums } from './sums-text.ts';

/** A file of the folder, as far as can be told without reading it. */
export interface SeenFile {
  /** As seen from the folder. */
  readonly file: string;
  readonly size: number;
  /** ms since 1970. */
  readonly changed: number;
}

/** What is kept of a file's content. */
export interface KeptFile {
  /** SHA-256 of it, hex. */
  readonly sum: string;
  /** Absent: the file is no job record, or teaches nothing without its board. */
  readonly lesson?: Lesson;
}

/** What was kept of the files of one section, by file. */
export type Section = ReadonlyMap<string, KeptFile>;

/** What the models add up to, by the names they go by, and what they were added up with. */
export interface KeptSums {
  readonly key: string;
  readonly models: ReadonlyMap<string, ModelSums>;
}

/** Files that teach nothing are kept in this section; those of a model in that of its name. */
export const NO_MODEL = '';

const FORM = 'trace-short/memory-index/4';

/** A stretch of the file, and the SHA-256 of it, hex. */
interface Stretch {
  readonly at: number;
  readonly end: number;
  readonly sum: string;
}

/** The line before the last; the last is its sum. */
interface Contents {
  readonly form: string;
  readonly sections: readonly (readonly [name: string, at: Stretch])[];
  /** A line for each file. */
  readonly seen: Stretch;
  /** By file, in the same order, the number of its section. */
  readonly places: Stretch;
  readonly sums?: Stretch;
}

/** A part of the index does not have its sum: all of it is made anew. */
export class DamagedIndex extends Error {}

/** An index as it lies on the disk; parts are taken out of it when they are asked for. */
export class FolderIndex {
  readonly #bytes: Buffer;
  readonly #contents: Contents | undefined;
  readonly #sections = new Map<string, Section>();

  /** Nothing is in it when there is no file, or not a whole one. */
  static read(path: string): FolderIndex {
    try {
      const bytes = readFileSync(path);
      return new FolderIndex(bytes, contentsOf(bytes));
    } catch {
      return FolderIndex.empty();
    }
  }

  static empty(): FolderIndex {
    return new FolderIndex(Buffer.alloc(0), undefined);
  }

  private constructor(bytes: Buffer, contents: Contents | undefined) {
    this.#bytes = bytes;
    this.#contents = contents;
  }

  /** Whether these files, in this order, are what was seen when it was written. */
  fits(seen: readonly SeenFile[]): boolean {
    const held = this.#contents?.seen;
    return held !== undefined && this.#text(held) === seen.map(seenLine).join('');
  }

  /** By file what was seen of it, and its section. @throws {DamagedIndex} */
  files(): Map<string, SeenFile & { readonly section: string }> {
    const { seen, places, sections } = this.#contents ?? {};
    if (seen === undefined || places === undefined || sections === undefined) return new Map();
    const numbers = JSON.parse(this.#text(places)) as number[];
    const lines = this.#text(seen).split('\n');
    return new Map(
      numbers.map((number, at) => {
        const row = JSON.parse(lines[at] ?? '') as [string, number, number];
        const [file, size, changed] = row;
        return [file, { file, size, changed, section: sections[number]?.[0] ?? NO_MODEL }];
      }),
    );
  }

  get sections(): readonly string[] {
    return this.#contents?.sections.map(([name]) => name) ?? [];
  }

  /** @throws {DamagedIndex} */
  section(name: string): Section {
    const known = this.#sections.get(name);
    if (known !== undefined) return known;
    const stretch = this.#stretchOf(name);
    const made = stretch === undefined ? new Map() : unpacked(this.#text(stretch));
    this.#sections.set(name, made);
    return made;
  }

  /** A section as it is, to be written again: nothing is made of it, so it is not checked either. */
  raw(name: string): RawSection | undefined {
    const stretch = this.#stretchOf(name);
    if (stretch === undefined) return undefined;
    return { bytes: this.#bytes.subarray(stretch.at, stretch.end), sum: stretch.sum };
  }

  /** Undefined where the models were added up with something else. @throws {DamagedIndex} */
  sums(key: string): KeptSums['models'] | undefined {
    const stretch = this.#contents?.sums;
    if (stretch === undefined) return undefined;
    const text = this.#text(stretch);
    const end = text.indexOf('\n');
    return text.slice(0, end) === key ? unpackedSums(text.slice(end + 1)) : undefined;
  }

  #stretchOf(name: string): Stretch | undefined {
    return this.#contents?.sections.find(([each]) => each === name)?.[1];
  }

  #text(stretch: Stretch): string {
    return this.#whole(stretch).toString('utf8');
  }

  #whole({ at, end, sum }: Stretch): Buffer {
    const bytes = this.#bytes.subarray(at, end);
    if (sumOf(bytes) !== sum) throw new DamagedIndex();
    return bytes;
  }
}

/** A section as an index before had it. */
export interface RawSection {
  readonly bytes: Uint8Array;
  readonly sum: string;
}

/** What an index is to hold. */
export interface IndexContents {
  readonly files: readonly (SeenFile & { readonly section: string })[];
  readonly sections: ReadonlyMap<string, Section | RawSection>;
  readonly sums?: KeptSums | undefined;
}

/**
 * Puts a whole index in place of the one before, in one step. Where another run is writing it, or the
 * folder cannot be written, nothing happens: the index only saves work.
 */
export function writeIndex(path: string, contents: IndexContents, desk: Desk): void {
  writeKept(path, () => bytesOf(contents), desk);
}

function contentsOf(bytes: Buffer): Contents | undefined {
  const end = bytes.lastIndexOf('\n', bytes.length - 2) + 1;
  const begin = bytes.lastIndexOf('\n', end - 2) + 1;
  const line = bytes.subarray(begin, end);
  if (bytes.toString('utf8', end).trim() !== sumOf(line)) return undefined;
  const contents = JSON.parse(line.toString('utf8')) as Contents;
  return contents.form === FORM ? contents : undefined;
}

function bytesOf({ files, sections, sums }: IndexContents): Uint8Array[] {
  const written: Uint8Array[] = [];
  let at = 0;
  const add = ({ bytes, sum }: RawSection): Stretch => {
    written.push(bytes);
    at += bytes.length;
    return { at: at - bytes.length, end: at, sum };
  };
  const write = (text: string): Stretch => {
    const bytes = new TextEncoder().encode(text);
    return add({ bytes, sum: sumOf(bytes) });
  };
  const names = [...sections.keys()];
  const numbers = new Map(names.map((name, number) => [name, number]));
  const held = [...sections].map(([name, section]) => {
    return [name, 'bytes' in section ? add(section) : write(packed(section))] as const;
  });
  const contents: Contents = {
    form: FORM,
    sections: held,
    seen: write(files.map(seenLine).join('')),
    places: write(`${JSON.stringify(files.map(({ section }) => numbers.get(section)))}\n`),
    ...(sums === undefined ? {} : { sums: write(`${sums.key}\n${packedSums(sums.models)}\n`) }),
  };
  const last = `${JSON.stringify(contents)}\n`;
  write(last);
  write(`${sumOf(last)}\n`);
  return written;
}

function seenLine({ file, size, changed }: SeenFile): string {
  return `${JSON.stringify([file, size, changed])}\n`;
}

/** What the handbooks expect of a board stands in a section once, as all jobs on one board file share it. */
interface StoredSection {
  readonly expected: readonly Expected[];
  readonly files: readonly (readonly [
    file: string,
    sum: string,
    lesson?: Omit<Lesson, 'expected'> & { readonly expected: number },
  ])[];
}

function packed(section: Section): string {
  const places = new Map<string, number>();
  const files: StoredSection['files'] = [...section].map(([file, { sum, lesson }]) => {
    if (lesson === undefined) return [file, sum];
    const text = JSON.stringify(lesson.expected);
    const place = places.get(text) ?? places.size;
    places.set(text, place);
    return [file, sum, { ...lesson, expected: place }];
  });
  const expected = [...places.keys()].map((text) => JSON.parse(text) as Expected);
  return `${JSON.stringify({ expected, files } satisfies StoredSection)}\n`;
}

/** What lessons share is put back in place, as they were just read and are nobody else's yet. */
function unpacked(text: string): Section {
  const { expected, files } = JSON.parse(text) as StoredSection;
  return new Map(
    files.map(([file, sum, lesson]) => {
      if (lesson === undefined) return [file, { sum }];
      Object.assign(lesson, { expected: expected[lesson.expected] });
      return [file, { sum, lesson: lesson as unknown as Lesson }];
    }),
  );
}

export function sumOf(content: string | Uint8Array): string {
  return createHash('sha256').update(content).digest('hex');
}
