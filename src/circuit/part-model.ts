/** A resistance between two pins of one part (board-wide pin numbers). */
export interface PinResistance {
  readonly a: number;
  readonly b: number;
  /** Ω, above zero. */
  readonly ohms: number;
}

/** A junction between two pins of one part. */
export interface PinJunction {
  readonly anode: number;
  readonly cathode: number;
  /** Forward voltage at 1 mA, V. */
  readonly volts: number;
  /** Slope: emission coefficient n of I = Iₛ·(exp(V / n·V_T) − 1). */
  readonly slope: number;
}

/** A path from a pin to a net that no pin of the part is on: to a heatsink. Lifting the pin breaks it. */
export interface NetJoin {
  readonly pin: number;
  readonly net: number;
  /** Ω, above zero. */
  readonly ohms: number;
}

/** One failed mode of one part, with its pins filled in. */
export interface PartMode {
  /** As the catalogue names it; what people read. */
  readonly name: string;
  /** Share of the part's failures, 0–1. */
  readonly share: number;
  /** The part's healthy elements are gone. */
  readonly opens: boolean;
  readonly joins: readonly PinResistance[];
  /** Default: none. */
  readonly netJoins?: readonly NetJoin[];
  /** How far the joining resistance may lie from its stated value: standard deviation of ln Ω. */
  readonly spread: number;
}

/**
 * A failed mode that takes more than opening and joining to say. The failed part is: its healthy
 * elements unless it `opens`, and `joins` and `junctions`. A part with other ohms than
 * it should have therefore opens and joins at once.
 */
export interface MoreMode extends PartMode {
  readonly junctions: readonly PinJunction[];
  /** No reading shows it that turns no junction on. */
  readonly junctionOnly: boolean;
}

/** What a part is to a meter: its elements when healthy and in every failed mode. */
export interface PartModel {
  readonly part: number;
  readonly healthy: readonly PinResistance[];
  readonly junctions: readonly PinJunction[];
  /** Opens of what conducts, and shorts: the modes the reasoning searches. */
  readonly modes: readonly PartMode[];
  /** All the others that some meter could show. */
  readonly moreModes: readonly MoreMode[];
}

/** Below this a "short" is as good as zero to every meter; keeps ratios of conductances sane. */
export const LEAST_OHMS = 1e-4;
