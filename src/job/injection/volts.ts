import type { Circuit } from '../../circuit/circuit.ts';
import { reach } from '../../circuit/conduction.ts';
import { DEFAULT_INJECTION_LIMITS } from '../../circuit/injection-limits.ts';
import { junctionLaw, voltsFor } from '../../circuit/junction-law.ts';
import { AS_FOUND } from '../../circuit/state.ts';

/** How high a supply may be set so that the junctions of this board stay off. */
export interface VoltsSetting {
  /** V. */
  readonly volts: number;
  /** Parts with a junction that would conduct above it; none where the general limit holds. */
  readonly heldBy: readonly number[];
  /** Parts across the supply that would conduct at it if its leads were swapped. */
  readonly ifSwapped: readonly number[];
}

/** Nets joined by less to a clip stand at its voltage, near enough, Ω. */
export const NEAR_OHMS = 10;
/** Through more a junction cannot draw what counts, Ω. */
const FAR_OHMS = 1000;
/** A junction that passes more takes current from the short, A. */
const MOST_LEAK_AMPS = 0.0005;
/** What the knob of a supply is set to, V. */
const STEP_VOLTS = 0.05;
const LEAST_VOLTS = 0.1;

/**
 * The highest setting at which no junction of the sound board that lies in the direction of the
 * current passes a share that counts, by its law in the catalogue: 0.3 V where they are silicon,
 * less where a Schottky junction leads away from the plus or back to the minus.
 * @param red net that the plus is clipped to
 * @param black net that the minus is clipped to
 * @param mostVolts V that it is set to at most, whatever the junctions would bear
 */
export function voltsSetting(
  circuit: Circuit,
  red: number,
  black: number,
  mostVolts: number = DEFAULT_INJECTION_LIMITS.volts,
): VoltsSetting {
  const view = circuit.view(AS_FOUND);
  const [plus, minus] = [red, black].map((net) => reach(view, [], net, NEAR_OHMS));
  const fed = reach(view, [], red, FAR_OHMS);
  const held = new Map<number, number>();
  const swapped = new Set<number>();
  for (const { part, volts, slope, netA, netK } of view.junctions) {
    if (netA === netK) continue;
    const most = Math.floor(voltsFor(junctionLaw(volts, slope), MOST_LEAK_AMPS) / STEP_VOLTS);
    const setting = Math.max(LEAST_VOLTS, most * STEP_VOLTS);
    if (setting >= mostVolts) continue;
    const leadsAway = plus?.has(netA) === true && !plus.has(netK);
    const leadsBack = minus?.has(netK) === true && !minus.has(netA) && fed.has(netA);
    if (leadsAway || leadsBack) held.set(part, Math.min(setting, held.get(part) ?? setting));
    else if (plus?.has(netK) === true && minus?.has(netA) === true) swapped.add(part);
  }
  const volts = Math.min(mostVolts, ...held.values());
  return {
    volts: Number(volts.toFixed(2)),
    heldBy: [...held.keys()].sort((a, b) => a - b),
    ifSwapped: [...swapped].sort((a, b) => a - b),
  };
}
