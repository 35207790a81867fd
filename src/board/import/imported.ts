import type { Draft } from './draft.ts';

/** A part ready to be written, its names not yet cleaned. */
export interface ImportedPart extends Draft {
  readonly name: string;
  readonly volts?: number;
  readonly toleranceRatio?: number;
  readonly package?: string;
  /** Middle of its pins, mm. */
  readonly at?: readonly [number, number];
  readonly side?: 'top' | 'bottom';
  readonly partNumber?: string;
  readonly text?: string;
}

/** A pair of nets that looks like a supply, and why. */
export interface ProposedRail {
  readonly name: string;
  readonly plus: string;
  readonly minus: string;
  readonly volts?: number;
  readonly reason: string;
}
