import type { Probe } from '../circuit/reading.ts';

/** One thing to do next. */
export type Step =
  | {
      readonly kind: 'read';
      readonly probe: Probe;
      /** `survey` covers ground, `isolate` tells fault sets apart, `repeat` re-takes a doubtful reading, `prove` shows a repaired board clear. */
      readonly purpose: 'survey' | 'isolate' | 'repeat' | 'prove';
    }
  | {
      /** Raise the pins given; the reading to take right after is `then`. */
      readonly kind: 'lift';
      readonly part: number;
      readonly pins: readonly number[];
      readonly then: Probe;
    }
  | {
      /** Take the parts off the board; `then` is the reading to take right after. */
      readonly kind: 'remove';
      readonly parts: readonly number[];
      readonly then?: Probe;
    }
  /** Put back, as they were, parts shown healthy. */
  | { readonly kind: 'refit'; readonly parts: readonly number[] }
  /** Fit new pieces. */
  | { readonly kind: 'replace'; readonly parts: readonly number[] }
  /** Heat the joints again. */
  | { readonly kind: 'reflow'; readonly pins: readonly number[] }
  | { readonly kind: 'look'; readonly part: number; readonly pin?: number }
  /** Look between two nets for a bridge or a link the board file lacks. */
  | { readonly kind: 'inspect'; readonly nets: readonly [number, number] }
  | { readonly kind: 'done' };

export interface Outcome {
  /** What the technician may find: `beep`, `quiet`, `about 0.4 ohm`. */
  readonly answer: string;
  readonly weight: number;
  /** What it would mean, in a few words. */
  readonly means: string;
}

export interface Advice {
  readonly phase: 'survey' | 'isolate' | 'repair' | 'prove' | 'clear';
  readonly step: Step;
  /** Bench minutes this step costs. */
  readonly minutes: number;
  /** Expected bench minutes from here to a board proven clear. */
  readonly minutesLeft: number;
  /** One sentence. */
  readonly why: string;
  readonly outcomes: readonly Outcome[];
  /** Next best, cheapest first. */
  readonly others: readonly {
    readonly step: Step;
    readonly minutes: number;
    readonly why: string;
  }[];
  /** What still stands between this board and `clear`. */
  readonly open: readonly string[];
}
