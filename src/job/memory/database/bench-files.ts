/** What a bench keeps of the shop's memory in its own folder: what it handed in, and its last copy of the sums. */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { Desk } from '../../disk.ts';
import { writeKept } from '../kept-file.ts';
import { COUNTS_FORM, type SumRow } from './counts.ts';

const LEDGER_FORM = `trace-short/handed-in/2 of counts ${COUNTS_FORM}`;
const COPY_FORM = 'trace-short/shop-copy/1';

/** A record that the database has taken. */
export interface TakenFile {
  /** As the file was then. */
  readonly stamp: string;
  /** Of what it taught; absent: it taught nothing. */
  readonly sum?: string;
}

/** A copy of the sums that the database had for one model. */
export interface SumsCopy {
  readonly model: string;
  /** ISO time. */
  readonly taken: string;
  readonly rows: readonly SumRow[];
}

/** Both are of one database; of another one they are nothing. */
export class BenchFiles {
  readonly #folder: string;
  readonly #database: string;
  readonly #desk: Desk;

  /** @param folder of the memory, beside the job records */
  constructor(folder: string, database: string, desk: Desk) {
    this.#folder = folder;
    this.#database = database;
    this.#desk = desk;
  }

  /** Records that the database has taken, by file; a damaged ledger is none: all are handed in again. */
  handedIn(): Map<string, TakenFile> {
    const files = this.#read(this.#ledger, LEDGER_FORM)?.files;
    return new Map(Object.entries(isMap(files) ? (files as Record<string, TakenFile>) : {}));
  }

  keepHandedIn(files: ReadonlyMap<string, TakenFile>): void {
    this.#write(this.#ledger, { form: LEDGER_FORM, files: Object.fromEntries(files) });
  }

  /** The copy of one model; undefined where none was taken. */
  copyOf(model: string): SumsCopy | undefined {
    return this.#copyAt(this.#copyPath(model));
  }

  /** The copy that was taken last, whatever model it is of. */
  lastCopy(): SumsCopy | undefined {
    const newest = names(this.#copies)
      .map((name) => join(this.#copies, name))
      .map((path) => ({
        path,
        time: statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0,
      }))
      .sort((x, y) => y.time - x.time);
    for (const { path } of newest) {
      const copy = this.#copyAt(path);
      if (copy !== undefined) return copy;
    }
    return undefined;
  }

  keepCopy(copy: SumsCopy): void {
    this.#write(this.#copyPath(copy.model), { form: COPY_FORM, ...copy });
  }

  get #ledger(): string {
    return join(this.#folder, 'handed-in.json');
  }

  get #copies(): string {
    return join(this.#folder, 'shop-copy');
  }

  #copyPath(model: string): string {
    return join(this.#copies, `${sumOf(model).slice(0, 16)}.json`);
  }

  #copyAt(path: string): SumsCopy | undefined {
    const kept = this.#read(path, COPY_FORM);
    return kept === undefined ? undefined : (kept as unknown as SumsCopy);
  }

  #read(path: string, form: string): Readonly<Record<string, unknown>> | undefined {
    try {
      const text = readFileSync(path, 'utf8');
      const { sum, kept } = JSON.parse(text) as { sum: unknown; kept: unknown };
      if (!isMap(kept) || sum !== sumOf(JSON.stringify(kept))) return undefined;
      return kept.form === form && kept.database === this.#database ? kept : undefined;
    } catch {
      return undefined;
    }
  }

  #write(path: string, said: Readonly<Record<string, unknown>>): void {
    const kept = { ...said, database: this.#database };
    const text = JSON.stringify(kept);
    writeKept(path, () => `{"sum":"${sumOf(text)}","kept":${text}}\n`, this.#desk);
  }
}

function names(folder: string): string[] {
  try {
    return readdirSync(folder).filter((name) => name.endsWith('.json'));
  } catch {
    return [];
  }
}

function sumOf(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}

function isMap(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}
