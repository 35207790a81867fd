import type { Growth } from '../board/growth.ts';
import type { Placing } from '../board/placed-board.ts';
import type { Injection, Point, Reading } from '../circuit/reading.ts';
import type { LookFinding } from '../faults/evidence.ts';
import type { StepTarget } from '../steps/step-key.ts';

/** Items of the pull list and the fit list that a technician ticks for a part. */
export const TICK_ITEMS = [
  'ordered',
  'tested',
  'cleaned',
  'holes clear',
  'insulator',
  'fastened',
  'oriented',
  'matched',
] as const;

export type TickItem = (typeof TICK_ITEMS)[number];

/** Stages that may be left out, with a reason. */
export const SKIPPABLE = ['look-over', 'touch-up', 'soak'] as const;

export type SkippableStage = (typeof SKIPPABLE)[number];

/** How a job ends. */
export const SIGN_OFFS = ['cleared', 'returned', 'uneconomic'] as const;

export type SignOffResult = (typeof SIGN_OFFS)[number];

/** What a part's tab read against its heatsink, in the ohms range. */
export type TabValue = { readonly kind: 'over' } | { readonly kind: 'ohms'; readonly ohms: number };

/** What probes reach or not: exactly one of a net, a part, and a pin with its part. */
export type Reached =
  | { readonly net: number; readonly part?: never; readonly pin?: never }
  | { readonly part: number; readonly pin?: number; readonly net?: never };

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
  /** A supply sends this many A into the cold board, its plus on the red point; until `inject-off`. */
  | ({ readonly do: 'inject' } & Injection)
  | { readonly do: 'inject-off' }
  | { readonly do: 'undo' | 'redo'; readonly count: number }
  /** A step that is not taken now. */
  | { readonly do: 'pass'; readonly step: StepTarget; readonly text: string }
  /** Probes cannot reach all pads of a net, those of a part, or one; or they can again. */
  | ({ readonly do: 'unreachable' | 'reachable'; readonly text?: string } & Reached)
  | { readonly do: 'note'; readonly text: string }
  | Growth
  | SayOfJob;

/** What is said of the job as a whole: intake, checks beside the cold readings, power, the end. */
export type SayOfJob =
  /** The customer's words; how the board arrived; what is printed or stuck on it. */
  | { readonly do: 'customer' | 'arrived' | 'marking'; readonly text: string }
  /** Who works from here on. */
  | { readonly do: 'technician'; readonly text: string }
  | {
      readonly do: 'photo';
      /** Path as seen from the job file's folder, never out of it. */
      readonly file: string;
      readonly part?: number;
      /** Set, with `part`, when the photo shows one pin. */
      readonly pin?: number;
      readonly text?: string;
    }
  /** V between two points: left over before a reading, or with power on. May be negative. */
  | {
      readonly do: 'residual' | 'powered';
      readonly red: Point;
      readonly black: Point;
      readonly volts: number;
    }
  | { readonly do: 'isolation'; readonly part: number; readonly value: TabValue }
  | { readonly do: 'tick'; readonly parts: readonly number[]; readonly item: TickItem }
  /** A that a rail draws. */
  | { readonly do: 'draws'; readonly rail: number; readonly amps: number }
  /** A stage of the power-up plan, numbered from 1. */
  | {
      readonly do: 'power';
      readonly stage: number;
      readonly result: 'passed';
      readonly text?: string;
    }
  | {
      readonly do: 'power';
      readonly stage: number;
      readonly result: 'stopped';
      readonly text: string;
    }
  | { readonly do: 'function'; readonly result: 'passed' | 'failed'; readonly text: string }
  /** Whole seconds that the soak is to run. */
  | { readonly do: 'soak'; readonly what: 'start'; readonly seconds: number }
  | { readonly do: 'soak'; readonly what: 'finding' | 'stopped'; readonly text: string }
  | { readonly do: 'soak'; readonly what: 'passed'; readonly text?: string }
  | { readonly do: 'temp'; readonly part: number; readonly celsius: number }
  /** Where a part, or one of its pads, sits: mm, and the side where it was said. */
  | ({ readonly do: 'at' } & Placing)
  /** What was seen is in the board file from here on, whose content has this SHA-256, hex. */
  | { readonly do: 'written'; readonly digest: string }
  | { readonly do: 'skip'; readonly stage: SkippableStage; readonly text: string }
  | { readonly do: 'sign-off'; readonly result: SignOffResult; readonly text?: string };
