import type { Diagnostic } from '../diagnostic.ts';

/** A pin as a netlist lists it; several pads of one name are one pin. */
export interface NetlistPin {
  readonly name: string;
  /** Undefined where the netlist says that the pin is joined to nothing. */
  readonly net: string | undefined;
  /** Middle of its pads, mm. */
  readonly at?: readonly [number, number];
  /** How many pads carry this name: a tab or a row of thermal holes has many. */
  readonly pads: number;
}

export interface NetlistPart {
  readonly name: string;
  readonly pins: readonly NetlistPin[];
  /** Undefined for parts with holes, which are reached from both sides. */
  readonly side?: 'top' | 'bottom';
  /** First line that names it. */
  readonly line: number;
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
  readonly title?: string;
  readonly parts: readonly NetlistPart[];
  /** Test records read, parts or not. */
  readonly records: number;
  readonly skipped: SkippedRecords;
  readonly warnings: readonly Diagnostic[];
}
