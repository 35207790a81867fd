import { type Diagnostic, InputError } from '../diagnostic.ts';

/** The forms a netlist comes in. */
export type NetlistForm = 'IPC-D-356' | 'SPICE' | 'pin list';

/** A pin as a netlist lists it; several pads of one name are one pin. */
export interface NetlistPin {
  readonly name: string;
  /** Undefined where the netlist says that the pin is joined to nothing. */
  readonly net: string | undefined;
  /** Middle of its pads, mm. */
  readonly at?: readonly [number, number];
  /** How many pads carry this name: a tab or a row of thermal holes has many. */
  readonly pads: number;
  /** What the pin does, where the netlist says so beside its number: `G`, `VIN`. */
  readonly role?: string;
}

/** What some netlists say of a part, and a bill of materials says better. */
export interface PartFacts {
  readonly value?: string;
  readonly footprint?: string;
  readonly partNumber?: string;
  /** The kind as the netlist tells it; a name of the catalogue. */
  readonly told?: string;
  /** The letters that stand for its kind, where its name does not begin with them. */
  readonly letters?: string;
  /** What the reader of the netlist had to guess. */
  readonly doubts?: readonly string[];
}

export interface NetlistPart extends PartFacts {
  readonly name: string;
  readonly pins: readonly NetlistPin[];
  /** Undefined for parts with holes, which are reached from both sides. */
  readonly side?: 'top' | 'bottom';
  /** First line that names it. */
  readonly line: number;
}

/** A source that the netlist puts across two nets. */
export interface Feed {
  readonly part: string;
  readonly plus: string;
  readonly minus: string;
  /** V, more than 0. */
  readonly volts: number;
}

/** What was read but holds no pin of a part. */
export interface SkippedRecords {
  readonly vias: number;
  readonly toolingHoles: number;
  readonly withoutPart: number;
  readonly continuations: number;
  /** Tracks, outlines, adjacency and the like. */
  readonly geometry: number;
}

export interface Netlist {
  readonly file: string;
  readonly form: NetlistForm;
  readonly title?: string;
  readonly parts: readonly NetlistPart[];
  /** Records, rows or elements that name a pin of a part; 0 where the text is something else. */
  readonly records: number;
  readonly skipped?: SkippedRecords;
  readonly feeds?: readonly Feed[];
  readonly warnings: readonly Diagnostic[];
}

/** Beyond any board, and beyond what a board file may hold. */
const MOST_PARTS = 200_000;
const MOST_PINS = 1_000_000;

/**
 * Holds the memory an import takes within bounds, whatever it is handed.
 * @throws {InputError} when there are more parts or pins than on any board
 */
export function checkSize(
  file: string,
  line: number,
  counts: { parts: number; pins: number },
): void {
  const isWide = counts.parts > MOST_PARTS;
  if (!isWide && counts.pins <= MOST_PINS) return;
  const most = isWide ? `${MOST_PARTS / 1000},000 parts` : `${MOST_PINS / 1e6},000,000 pins`;
  throw new InputError([
    {
      code: 'TOO_MANY',
      severity: 'error',
      message: `more than ${most} up to line ${line}: beyond any board`,
      place: { file, line, column: 1, endColumn: 2 },
      hint: 'import one board at a time',
    },
  ]);
}
