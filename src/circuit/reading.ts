/** What a reading is. A point is a net, or a pin standing for its pad. */

/**
 * `low-voltage`: ohms measured below what turns a silicon junction on. `millivolts`: V between two
 * points of copper that carries an injected current.
 */
export type MeterMode =
  | 'continuity'
  | 'ohms'
  | 'low-voltage'
  | 'diode'
  | 'four-wire'
  | 'millivolts';

/** Modes in which the meter drives the points itself. */
export type DrivenMode = Exclude<MeterMode, 'millivolts'>;

export interface Point {
  readonly net: number;
  /** Board-wide pin number when the person named a pin. */
  readonly pin?: number;
}

export type ReadingValue =
  | { readonly kind: 'beep' }
  | { readonly kind: 'quiet' }
  /** Over the range of the mode. */
  | { readonly kind: 'over' }
  | { readonly kind: 'ohms'; readonly ohms: number }
  /** Below zero only in millivolts. */
  | { readonly kind: 'volts'; readonly volts: number };

/** A current that a supply sends into the cold board: out of its plus at `red`, back at `black`. */
export interface Injection {
  readonly red: Point;
  readonly black: Point;
  readonly amps: number;
}

/** What to measure: red point first. */
export interface Probe {
  readonly mode: MeterMode;
  readonly red: Point;
  readonly black: Point;
  /** Set when a part is read on its own legs; both points are then pins of that part. */
  readonly offPart?: number;
  /** The current that was on; set exactly when the mode is `millivolts`. */
  readonly injected?: Injection;
}

export interface Reading extends Probe {
  readonly value: ReadingValue;
}

/** Whether a reading tells of copper alone: volts along it under an injected current, no ohms of a part. */
export function isCopperOnly({ mode }: Pick<Probe, 'mode'>): boolean {
  return mode === 'millivolts';
}

/** Whether a reading tells what lies between two points of the board, off no part and of no copper alone. */
export function isAcrossBoard(reading: Pick<Probe, 'mode' | 'offPart'>): boolean {
  return reading.offPart === undefined && !isCopperOnly(reading);
}
