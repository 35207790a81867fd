import type { NetlistPin } from './netlist.ts';

/** One part as the netlist and the bill of materials give it, before its kind is known. */
export interface SourcePart {
  readonly name: string;
  /** Leading letters of the name, upper case: `R`, `TP`, `JP`. */
  readonly letters: string;
  /** In natural order of their names. */
  readonly pins: readonly NetlistPin[];
  readonly value: string;
  readonly footprint: string;
  readonly partNumber: string;
  readonly description: string;
  /** The kind, where the netlist tells it. */
  readonly told?: string;
  /** What its reader had to guess. */
  readonly doubts?: readonly string[];
}

export interface DraftPin {
  readonly name: string;
  readonly net: string;
  /** mm. */
  readonly at?: readonly [number, number];
}

/** What an import makes of a part's kind, pins and values; every uncertain point is in `guesses`. */
export interface Draft {
  readonly kind: string;
  readonly pins: readonly DraftPin[];
  readonly guesses: readonly string[];
  /** Ω. */
  readonly ohms?: number;
  /** F. */
  readonly farads?: number;
  /** H. */
  readonly henries?: number;
}

/** What is known of the nets of the whole board. */
export interface NetFacts {
  /** Pins on the net, over all parts. */
  pinCount(net: string): number;
}

/** `undefined` where a guesser cannot make sense of the pads. */
export type Guesser = (part: SourcePart, nets: NetFacts) => Draft | undefined;
