/** How much a supply may send into a cold board to find a short. */

/**
 * Highest setting of the supply, V: silicon junctions stay off below it (0.3 V at room temperature
 * passes a thousandth of what 0.5 V does), and IC pins tolerate about as much the wrong way round.
 * A figure of our own; practitioners go to 1 V, where protection junctions may conduct.
 */
export const MOST_INJECTED_VOLTS = 0.3;

/** Highest setting of the current limit, A: bench supplies hold it, and it is plenty for millivolts. */
export const MOST_INJECTED_AMPS = 1;

/** What a supply is set to at most, whatever the board would bear. */
export interface InjectionLimits {
  /** V. */
  readonly volts: number;
  /** A. */
  readonly amps: number;
}

export const DEFAULT_INJECTION_LIMITS: InjectionLimits = {
  volts: MOST_INJECTED_VOLTS,
  amps: MOST_INJECTED_AMPS,
};
