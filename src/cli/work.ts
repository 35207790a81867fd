import type { Board } from '../board/model.ts';
import type { DerivedJob } from '../job/derive.ts';
import type { JobPurpose } from '../job/event-line.ts';

/** One line as it was recorded. */
export interface RecordedLine {
  readonly n: number;
  /** In the notation's own form. */
  readonly say: string;
}

/** A board being worked on: a job with its file, or a drill that only lives in memory. */
export interface Work {
  /** With the positions typed so far put in. */
  readonly board: Board;
  /** The job file's name, or what stands for it. */
  readonly label: string;
  /** What the job was opened for; a drill ends with the cold board. */
  readonly purpose: JobPurpose | 'drill';
  /** Everything derived from what was recorded so far. */
  readonly derived: DerivedJob;
  /**
   * Records lines of the notation: all of them or, when one cannot be read, none.
   * What was recorded is on disk when this returns.
   * @throws {InputError} when a line cannot be read or written
   */
  record(lines: readonly string[]): readonly RecordedLine[];
  close(): void;
}
