/**
 * What a board is, once its file has been read and checked.
 *
 * Parts, pins and nets are numbered in file order; everything above this layer refers to them by
 * those numbers and turns them into names only to show them.
 */

/** One resistive or junction element between two pins of a kind, as the catalogue lists it. */
export type ElementSpec =
  | {
      readonly element: 'resistance';
      /** Pin names of the kind. */
      readonly between: readonly [string, string];
      /** Ω; `'value'` takes the part's own `ohms`, or the kind's `typicalOhms` when it has none. */
      readonly ohms: number | 'value';
      /** What is taken of those ohms, e.g. half for a wiper that may stand anywhere; 1 when absent. */
      readonly ratio?: number;
    }
  | JunctionSpec;

/** A junction between two pins of a kind. */
export interface JunctionSpec {
  readonly element: 'junction';
  /**
   * Anode and cathode: pin names, or the roles `@ground`, `@supply` and `@each`, which give one
   * junction for each two nets they stand for.
   */
  readonly from: string;
  readonly to: string;
  /**
   * Forward voltage at 1 mA, V. `'rated'` takes the part's own `volts`: breakdown, written as a
   * junction that conducts backwards; a part without `volts` has none.
   */
  readonly volts: number | 'rated';
  /** Emission coefficient n of the exponential law; silicon rectifiers 1.7, Schottky 1.05. */
  readonly slope: number;
  /** With `'rated'`: at which current a part's voltage is rated, A; 1 mA when absent. */
  readonly ratedAmps?: number;
  /** With `'rated'`: only for parts rated from, and below, so many V. */
  readonly ratedFrom?: number;
  readonly ratedBelow?: number;
}

/** One way a part of a kind fails. */
export interface ModeSpec {
  /** `short`, `open`, `leaky`, `D-S short` … as the technician would say it. */
  readonly name: string;
  /** Share of this kind's failures, 0–1; the shares of a kind sum to at most 1. */
  readonly share: number;
  /** True when the part stops conducting: all its healthy elements are gone. */
  readonly opens: boolean;
  /**
   * Pairs of pins joined by the failure. Roles stand for pins that differ from part to part:
   * `@supply`, `@ground`, `@each` (every remaining pin in turn), `@next` (the pin beside it) and `@any` (with itself: any two).
   */
  readonly joins: readonly (readonly [string, string])[];
  /** Ω of the joining path, lowest and highest usually met. */
  readonly ohms: readonly [number, number];
  /** Junctions that the failure adds. */
  readonly junctions?: readonly JunctionSpec[];
  /** The healthy resistances are so many times their value, lowest and highest; of several windings, one is. */
  readonly scales?: readonly [number, number];
  /** Pins that lose contact inside the part; what met at them stays joined. */
  readonly cuts?: readonly string[];
  /** Pin, or `@ground`, whose metal touches the heatsink: its insulator is punctured. */
  readonly toHeatsink?: string;
  /** Where share and ohms come from; `default` marks a figure a shop may change. */
  readonly source: string;
}

/** A part kind: data from the catalogue, or added by a board file. */
export interface Kind {
  readonly name: string;
  /** What a person calls it, e.g. `n-channel MOSFET`. */
  readonly title: string;
  /** Pin names in their usual order; empty when a part of this kind names its own pins. */
  readonly pins: readonly string[];
  /** Other spellings of a pin name, e.g. `drain` → `D`, `1` → `A`. */
  readonly pinAliases: ReadonlyMap<string, string>;
  /** True when the two pins may be swapped (resistor, fuse, ceramic capacitor). */
  readonly symmetric: boolean;
  readonly healthy: readonly ElementSpec[];
  readonly modes: readonly ModeSpec[];
  /** Failures per 10⁹ h, ground fixed environment; only ratios between kinds are used. */
  readonly fitRate: number;
  /** Chance at least that pins of such a part are joined, as nobody knows what it does when healthy. */
  readonly joinsAnyway?: number;
  /** Ω when a part gives no `ohms` of its own; undefined where a value is required or senseless. */
  readonly typicalOhms?: number;
  /** Which value a part of this kind carries, and whether it must. */
  readonly value: 'ohms' | 'farads' | 'henries' | 'none';
  /** True for wire links, zero-ohm links: lifting one splits a board cheaply. */
  readonly link: boolean;
  /** Source of `fitRate`. */
  readonly source: string;
}

export interface Winding {
  readonly name: string;
  /** Board-wide pin numbers. */
  readonly pins: readonly [number, number];
  /** DC resistance, Ω. */
  readonly ohms: number;
}

export interface Pin {
  /** Board-wide number; equals its place in {@link Board.pins}. */
  readonly index: number;
  readonly part: number;
  readonly name: string;
  readonly net: number;
  /** mm, when the file gives it. */
  readonly at?: readonly [number, number];
}

export interface Part {
  readonly index: number;
  readonly name: string;
  readonly kind: Kind;
  /** Board-wide pin numbers, in file order. */
  readonly pins: readonly number[];
  readonly ohms?: number;
  readonly farads?: number;
  readonly henries?: number;
  /** Rated voltage, V. */
  readonly volts?: number;
  /** e.g. 0.01 for 1 %. */
  readonly toleranceRatio?: number;
  readonly windings: readonly Winding[];
  readonly package?: string;
  /** Name of the heatsink it is fastened to: `heatsink: true` gives `heatsink`. */
  readonly heatsink?: string;
  /** Screw torque from its data sheet, N·m. */
  readonly torque?: number;
  /** What lies between its tab and the heatsink. */
  readonly insulator?: 'pad' | 'mica' | 'none';
  /** Parts replaced as a set carry one bank name. */
  readonly bank?: string;
  /** mm. */
  readonly at?: readonly [number, number];
  readonly side?: 'top' | 'bottom';
  readonly mark?: string;
  readonly partNumber?: string;
  /** The value as printed on the part or in the bill of materials. */
  readonly text?: string;
  /** What the shop knows: this one fails first. */
  readonly failsFirst: boolean;
  /** What an import guessed about this part, to be confirmed by a person. */
  readonly guesses: readonly string[];
  /** Where the file says so. */
  readonly line: number;
}

export interface Net {
  readonly index: number;
  readonly name: string;
  /** Board-wide pin numbers on this net. */
  readonly pins: readonly number[];
  /** Handy places to put a probe, as the file names them. */
  readonly points: readonly string[];
  readonly line: number;
}

/** A heatsink whose metal is wired to a net. */
export interface Heatsink {
  readonly name: string;
  readonly net: number;
}

export interface Rail {
  readonly name: string;
  readonly plus: number;
  readonly minus: number;
  /** Working voltage, V. */
  readonly volts?: number;
}

/** What a board file says of its copper; what it leaves out is taken from a prior. */
export interface BoardCopper {
  /** Copper weight of the whole board, oz/ft²; 1 oz is 0.035 mm. */
  readonly ounces?: number;
  /** By net number. */
  readonly nets: ReadonlyMap<number, NetCopper>;
}

/** What is known of one net's copper. */
export interface NetCopper {
  readonly shape?: 'plane' | 'traces';
  /** Usual width of its traces, mm. */
  readonly width?: number;
  /** oz/ft², where it differs from the board's. */
  readonly ounces?: number;
}

export interface Board {
  readonly name: string;
  readonly revision?: string;
  readonly parts: readonly Part[];
  readonly pins: readonly Pin[];
  readonly nets: readonly Net[];
  readonly rails: readonly Rail[];
  /** Those the file gives a net; any other is taken as wired to nothing. */
  readonly heatsinks?: readonly Heatsink[];
  readonly copper?: BoardCopper;
  readonly partNamed: ReadonlyMap<string, Part>;
  readonly netNamed: ReadonlyMap<string, Net>;
  /** File name as given, `-` for standard input. */
  readonly file: string;
  /** SHA-256 of the file's bytes, hex: what a job is tied to. */
  readonly digest: string;
}
