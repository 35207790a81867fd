import type { Lit } from './lit.ts';
import type { Branch } from './network.ts';

/** What a meter's current meets between two nets: a view of the board, and what faults add to it. */
export interface Sight {
  readonly view: Lit;
  readonly added: readonly Branch[];
  readonly red: number;
  readonly black: number;
}

/** Ω across the points as far as resistances go; Infinity when none join them. */
export function linearOhms({ view, added, red, black }: Sight): number {
  return view.network.solve(red, black, added).ohms;
}

/**
 * V across the points for `amps` into the red one and out of the black one; Infinity when it would
 * take more than `ceiling` volts. The network alone answers where no junction could carry a share
 * of the current that counts: no voltage inside exceeds that across the points.
 * @param ohms what {@link linearOhms} gives, where it is known already
 */
export function voltsAt(
  sight: Sight,
  amps: number,
  ceiling: number,
  ohms: number = linearOhms(sight),
): number {
  const { view, added, red, black } = sight;
  const linear = ohms === 0 ? 0 : amps * ohms;
  if (view.junctions.length === 0) return linear > ceiling ? Number.POSITIVE_INFINITY : linear;
  const lit = view.lit();
  if (lit.isDark(linear, amps)) return linear > ceiling ? Number.POSITIVE_INFINITY : linear;
  const volts = lit.volts(red, black, added, amps, ceiling);
  return volts > ceiling ? Number.POSITIVE_INFINITY : volts;
}
