import type { Circuit, Opens } from '../circuit/circuit.ts';
import { netOf } from '../circuit/circuit.ts';
import type { Meter } from '../circuit/meter.ts';
import type { Probe } from '../circuit/reading.ts';
import { voltsAt } from '../circuit/sight.ts';
import { AS_FOUND } from '../circuit/state.ts';
import { turnedMode } from '../circuit/turned.ts';

/** A diode test tells the right way round from the wrong one when the two lie so far apart, V. */
const TELLING_VOLTS = 0.15;

/**
 * The diode test that shows which way round a part was fitted, across the pads it sits on: red on an
 * anode's pad. Undefined when the meter has no diode test, or nothing would show for what else joins
 * the pads.
 */
export function turnTest(circuit: Circuit, meter: Meter, index: number): Probe | undefined {
  const { board, models } = circuit;
  const part = board.parts[index];
  const model = models[index];
  if (meter.drives.diode === undefined || part === undefined || model === undefined)
    return undefined;
  const turned = turnedMode(board, part, model);
  if (turned === undefined) return undefined;
  const junctions = turned.junctions.map((junction) => ({
    ...junction,
    part: index,
    netA: netOf(board, junction.anode),
    netK: netOf(board, junction.cathode),
  }));
  const wrong: Opens = { parts: new Set([index]), pins: new Set(), junctions };
  const volts = (opens: Opens | undefined, red: number, black: number): number => {
    const view = circuit.view(AS_FOUND, opens);
    const shown = voltsAt({ view, added: [], red, black }, meter.diodeAmps, meter.diodeVolts);
    return Math.min(shown, meter.diodeVolts);
  };
  for (const { anode, cathode } of model.junctions) {
    const [red, black] = [netOf(board, anode), netOf(board, cathode)];
    if (red === black) continue;
    const apart = Math.abs(volts(undefined, red, black) - volts(wrong, red, black));
    if (apart >= TELLING_VOLTS) {
      return { mode: 'diode', red: { net: red, pin: anode }, black: { net: black, pin: cathode } };
    }
  }
  return undefined;
}
