import type { Reading } from '../circuit/reading.ts';
import type { LookFinding } from '../faults/evidence.ts';

/** What one line of the notation says, with names turned into board numbers. */
export type Say =
  | { readonly do: 'read'; readonly reading: Reading }
  | { readonly do: 'lift'; readonly part: number; readonly pins: readonly number[] }
  | { readonly do: 'remove'; readonly parts: readonly number[] }
  | { readonly do: 'refit'; readonly parts: readonly number[] }
  | { readonly do: 'replace'; readonly parts: readonly number[] }
  | { readonly do: 'reflow'; readonly pins: readonly number[] }
  /** A bridge between two nets was found and removed. */
  | { readonly do: 'clean'; readonly nets: readonly [number, number] }
  /** Broken copper of a net was mended. */
  | { readonly do: 'mend'; readonly net: number }
  /** The technician accepts a connection the board file lacks. */
  | { readonly do: 'link'; readonly nets: readonly [number, number] }
  | {
      readonly do: 'look';
      readonly part?: number;
      readonly pin?: number;
      readonly nets?: readonly [number, number];
      readonly finding: LookFinding;
    }
  | { readonly do: 'undo'; readonly count: number }
  | { readonly do: 'note'; readonly text: string };
