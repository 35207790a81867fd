import type { MeterMode, Reading, ReadingValue } from '../circuit/reading.ts';

/** A reading kept in a file, in words, so that it can be compared without a board. */
export interface SavedReading {
  /** Points as written; with a board, in its own spelling. Bare pin names when `off` is set. */
  readonly red: string;
  readonly black: string;
  /** The part that was read off the board. */
  readonly off?: string;
  readonly mode: MeterMode;
  readonly value: ReadingValue;
  readonly file: string;
  /** From 1. */
  readonly line: number;
  /** How many changes to the board its file tells before it: readings across one may differ. */
  readonly epoch: number;
  /** The same in board numbers, when a board was at hand. */
  readonly reading?: Reading;
}
