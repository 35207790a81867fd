import type { Lesson } from './lesson.ts';
import type { Corrections } from './models.ts';
import type { Past } from './past.ts';
import type { MemoryRules } from './rules.ts';

/**
 * Where a shop keeps what its jobs taught. Whatever the store, the lessons follow from the job records
 * alone; only the corrections are its own. Every store passes the tests of `tests/job/memory/store-contract.ts`.
 */
export interface MemoryStore {
  /** What a board's chances are learnt from; undefined where nothing is known that teaches. */
  past(board: BoardName, rules: MemoryRules): Promise<Past | undefined>;
  /** All models by the names they go by, in order. */
  models(): Promise<readonly ModelSummary[]>;
  /** Of the jobs of one model, by the name it goes by, in no particular order. */
  lessonsOf(model: string): Promise<readonly Lesson[]>;
  /** Of every job record as it is now, in no particular order, forgotten jobs among them. */
  lessons(): Promise<readonly Lesson[]>;
  /** Whether a job of that name has come in. */
  knows(job: string): Promise<boolean>;
  /** Names of models as the records have them, in order. */
  names(): Promise<readonly string[]>;
  corrections(): Promise<Corrections>;
  /** From now on a job teaches nothing; it need not be known. */
  forget(job: string): Promise<void>;
  /** A forgotten job teaches again. */
  recall(job: string): Promise<void>;
  /** From now on a name of a model means another one; the same name twice: it stands for itself again. */
  merge(name: string, same: string): Promise<void>;
  /** Reads every record anew, whatever is kept of it. */
  rebuild(): Promise<void>;
}

/** A board as its file names it. */
export interface BoardName {
  readonly board: string;
  readonly revision?: string | undefined;
}

/** One model at a glance. */
export interface ModelSummary {
  readonly model: string;
  readonly jobs: number;
  /** Jobs that teach anything. */
  readonly teaching: number;
  /** Parts found failed on most boards, the most first. */
  readonly fails: readonly { readonly part: string; readonly boards: number }[];
}

/** So many parts are named of a model at a glance. */
export const MOST_PARTS = 3;
