/** What a reading is. A point is a net, or a pin standing for its pad. */

/** `low-voltage`: ohms measured below what turns a silicon junction on. */
export type MeterMode = 'continuity' | 'ohms' | 'low-voltage' | 'diode' | 'four-wire';

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
  | { readonly kind: 'volts'; readonly volts: number };

/** What to measure: red point first. */
export interface Probe {
  readonly mode: MeterMode;
  readonly red: Point;
  readonly black: Point;
  /** Set when a part is read on its own legs; both points are then pins of that part. */
  readonly offPart?: number;
}

export interface Reading extends Probe {
  readonly value: ReadingValue;
}
