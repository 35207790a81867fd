/** One piece of copper between two nodes, as far as it is known. */
export interface Stretch {
  readonly a: number;
  readonly b: number;
  /** Ω, on average. */
  readonly ohms: number;
  /** Standard deviation of the ohms, as a ratio of them; stretches differ independently of each other. */
  readonly spread: number;
}

/** The copper of one net as resistances between its pads and nodes of its own. */
export interface Layout {
  readonly nodeCount: number;
  /** By pin: its node. */
  readonly nodeOf: ReadonlyMap<number, number>;
  readonly stretches: readonly Stretch[];
}

/** How copper is laid out, where it is not said: both are weighed. */
export type Shape = 'traces' | 'plane';

/** Ω of a square of 1 oz copper, 0.035 mm thick. Source: 1.72 µΩ·cm over the thickness; facts, 4.3. */
export const SQUARE_OHMS = 0.5e-3;
