/** How much of a failure reached what stands beside the part. */
import type { Part } from '../../board/model.ts';
import type { Failure } from './failures.ts';
import type { NeighbourRole } from './model.ts';
import { reachesControl } from './neighbours.ts';

/** An IC with more pins may be a controller with a program; a blank one is no replacement. */
const MOST_PLAIN_PINS = 16;

/** Whether a new piece may lack a program that the old one holds. */
export function mayHoldProgram({ kind, pins }: Part): boolean {
  return kind.name === 'ic' && pins.length > MOST_PLAIN_PINS;
}

/** Share of a part's failure that let what it switches onto its gate; 0 where no reading tells how it failed. */
export function shareAtControl(part: Part, failure: Failure | undefined): number {
  if (failure === undefined || failure.weight <= 0) return 0;
  const at = failure.modes.filter(({ mode }) => reachesControl(part, mode));
  return at.reduce((sum, { weight }) => sum + weight, 0) / failure.weight;
}

/** Cheap enough, and likely enough to be hurt, to renew without a test. */
export function isRenewedUntested(part: Part, role: NeighbourRole): boolean {
  if (role === 'driver') return !mayHoldProgram(part);
  return role === 'gate resistor' || role === 'gate clamp' || role === 'turn-off diode';
}

/** Whether a failed mode is a short: it drew current from what feeds the part. */
export function joinsPins(part: Part, mode: string): boolean {
  return (part.kind.modes.find(({ name }) => name === mode)?.joins.length ?? 0) > 0;
}
