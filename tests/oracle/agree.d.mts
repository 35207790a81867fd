import type { MeterMode } from '../../src/circuit/reading.ts';
import type { Shown } from '../../src/circuit/shown.ts';

export interface Tolerance {
  readonly ratio: number;
  readonly volts: number;
}

export function toleranceOf(mode: MeterMode, lit: boolean): Tolerance;
export function sameShown(expected: Shown, shown: Shown, tolerance: Tolerance): boolean;
