/**
 * What is known of a board before its nets are: parts, their points, and what a beeper is bound to
 * find of them. Points and parts are numbered in list order.
 */

/**
 * What a point is on its part, as far as that says which nets it is likely to be on: `bypass` an end
 * of a capacitor, `line` of an inductor or fuse, `end` of any other part with two, `leg` a pin of a
 * chip or transistor, `plug` of a connector.
 */
export type PointRole =
  | 'ground'
  | 'supply'
  | 'control'
  | 'bypass'
  | 'line'
  | 'end'
  | 'leg'
  | 'plug';

/** One pad that a probe can touch. */
export interface MapPoint {
  /** `C1.1`. */
  readonly name: string;
  readonly part: number;
  readonly role: PointRole;
  /** mm. */
  readonly at?: readonly [number, number];
}

export interface MapPart {
  readonly name: string;
  readonly points: readonly number[];
  /** Number of its sort, where others are of the same make: their pins of one name often share a net. */
  readonly sort?: number;
  /** No two of its points are on one net: the ends of a capacitor, the legs of a transistor. */
  readonly isApart: boolean;
  /** Pairs of points that it joins itself, with so few ohms that a healthy one beeps. */
  readonly lowOhm: readonly (readonly [number, number])[];
}

export interface MapProblem {
  /** A point known to be on ground. */
  readonly ground?: number;
  readonly parts: readonly MapPart[];
  readonly points: readonly MapPoint[];
}

/** Splits a designator: `C12` → C, 12; a name without a number has NaN. */
export function designator(name: string): { readonly letters: string; readonly number: number } {
  const match = /^([^\d]*)(\d+)/.exec(name);
  return match === null
    ? { letters: name, number: Number.NaN }
    : { letters: match[1] ?? '', number: Number(match[2]) };
}
