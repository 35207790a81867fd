import type { CopperReading } from './copper-readings.ts';
import type { Measured } from './weigh-case.ts';

/** What a meter's gain may be off by, and how often a reading is wrong. */
export interface Doubts {
  readonly gain: number;
  readonly slip: number;
}

/** A wrong reading may be of any size, evenly by the number of digits over this many e-folds. */
const SLIP_SPAN = 10;
const LEAST_OHMS = 1e-3;

/** What was read, as it is weighed. */
export function measuredOf(readings: readonly CopperReading[], doubts: Doubts): Measured {
  return {
    ohms: Float64Array.from(readings, ({ ohms }) => ohms),
    noise: Float64Array.from(readings, ({ noise }) => noise),
    ...doubts,
    logSlip: Float64Array.from(readings, slipLog),
  };
}

/** ln of the density of readings that are all wrong: nothing joins the sides. */
export function allWrong(readings: readonly CopperReading[], { slip }: Doubts): number {
  return readings.reduce((sum, reading) => sum + Math.log(slip) + slipLog(reading), 0);
}

function slipLog({ ohms }: CopperReading): number {
  return -Math.log(SLIP_SPAN * Math.max(ohms, LEAST_OHMS));
}
