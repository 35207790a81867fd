import type { Lesson } from './lesson.ts';
import type { Corrections } from './models.ts';

/**
 * Where a shop keeps what its jobs taught. Whatever the store, the lessons follow from the job records
 * alone; only the corrections are its own. Every store passes the tests of `tests/job/memory/store-contract.ts`.
 */
export interface MemoryStore {
  /** Of every job record as it is now, in no particular order. */
  lessons(): Promise<readonly Lesson[]>;
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
