/** The one thing that comes next in a job, of any stage. */
import type { Injection, Probe } from '../circuit/reading.ts';
import type { Charge } from './discharge.ts';
import type { LookItem } from './look-over.ts';
import type { Renewal } from './renewals.ts';
import type { SoakState } from './soak.ts';

/** A stage of the power-up plan, as far as the job's order needs it. */
export interface PlannedStage {
  /** From 1. */
  readonly stage: number;
  /** Rails that come up in it. */
  readonly rails: readonly number[];
  /** What is done in it, a few words. */
  readonly text: string;
}

/** A part of the touch-up list with joints that are still to be seen to. */
export interface TouchUpSpot {
  readonly part: number;
  /** Found cracked, or off its pad, and not mended yet. */
  readonly cracked: readonly number[];
  /** Why its joints would be the next to fail, in a few words. */
  readonly why: string;
}

export type Task =
  /** What nobody has said yet of how it came in. */
  | { readonly kind: 'intake'; readonly missing: readonly ('customer' | 'arrived')[] }
  | { readonly kind: 'look-over'; readonly items: readonly LookItem[]; readonly maySkip: boolean }
  /** Measure what is left between two nets. */
  | { readonly kind: 'residual'; readonly charge: Charge }
  /** It holds too much: discharge it and measure again. */
  | { readonly kind: 'discharge'; readonly charge: Charge }
  /** A current is on: read along the copper, or end it, before anything else. */
  | { readonly kind: 'injection'; readonly injection: Injection }
  /** The step that the readings call for. */
  | { readonly kind: 'bench' }
  /** Parts found bad by eye, and those due to fail in a refurbishment. */
  | { readonly kind: 'renew'; readonly parts: readonly Renewal[] }
  /** A tab against a heatsink that is wired to a net. */
  | { readonly kind: 'tab reading'; readonly part: number; readonly probe: Probe }
  | { readonly kind: 'isolation'; readonly part: number; readonly isRepeat: boolean }
  | { readonly kind: 'fasten'; readonly parts: readonly number[] }
  | {
      readonly kind: 'touch-up';
      readonly spots: readonly TouchUpSpot[];
      readonly maySkip: boolean;
    }
  | { readonly kind: 'power'; readonly planned: PlannedStage; readonly count: number }
  | { readonly kind: 'function'; readonly check: string }
  | { readonly kind: 'soak start'; readonly minutes: number }
  | { readonly kind: 'soak'; readonly soak: SoakState }
  | { readonly kind: 'sign-off' }
  | { readonly kind: 'signed off' };
