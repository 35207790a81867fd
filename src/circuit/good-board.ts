/** What a good board of the same kind read at a place, beside what the board file makes of one. */
export interface GoodShown {
  /** Ω, of a diode test V; Infinity for OL. */
  readonly read: number;
  readonly foreseen: number;
}

/** Boards of one kind differ from each other by so much: standard deviation of ln Ω. Default. */
export const GOOD_SPREAD = 0.1;
/** Closer than this a circuit shows what a board without faults would, as a share. */
const SAME = 0.02;
/** A conductance left of less is none, S. */
const LEAST_SIEMENS = 1e-9;

/**
 * Ω a circuit would show, put right by what the good board has beside the board file: a conductance more
 * or less, whatever the faults.
 */
export function rightedOhms(ohms: number, { read, foreseen }: GoodShown): number {
  if (isSame(ohms, foreseen)) return read;
  const siemens = 1 / ohms + 1 / read - 1 / foreseen;
  return siemens > LEAST_SIEMENS ? 1 / siemens : Number.POSITIVE_INFINITY;
}

/** The other way round: what a circuit has to be foreseen with to show some ohms; undefined for none. */
export function foreseenFor(ohms: number, { read, foreseen }: GoodShown): number | undefined {
  const siemens = 1 / ohms - 1 / read + 1 / foreseen;
  return siemens > LEAST_SIEMENS ? 1 / siemens : undefined;
}

/** V of a diode test, put right: a junction's drop by its share, a junction nobody listed beside the rest. */
export function rightedVolts(volts: number, { read, foreseen }: GoodShown): number {
  if (isSame(volts, foreseen)) return read;
  if (foreseen === Number.POSITIVE_INFINITY) return Math.min(volts, read);
  return read === Number.POSITIVE_INFINITY ? volts : (volts * read) / foreseen;
}

/** Whether a circuit shows there what one without faults would. */
export function isSame(one: number, other: number): boolean {
  return one === other || Math.abs(one - other) <= SAME * Math.min(one, other);
}
