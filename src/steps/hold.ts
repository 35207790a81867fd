import type { Probe } from '../circuit/reading.ts';
import { type Settling, settlingOf } from '../circuit/settling.ts';
import { type BoardState, withLifted, withOff } from '../circuit/state.ts';
import type { Workbench } from './advise.ts';
import type { Step } from './step.ts';

/**
 * What capacitors do to the reading of a step, on the board as the step leaves it. Undefined for a
 * step without a reading, or where nothing charges.
 */
export function holdFor(
  { board, bench }: Workbench,
  state: BoardState,
  step: Step,
): Settling | undefined {
  const probe = probeOf(step);
  if (probe === undefined || isAlongCopper(probe)) return undefined;
  const after = stateAt(step, state);
  return settlingOf(board, bench.circuit.view(after), after, bench.meter, probe);
}

/** Asked for where the rail is shorted already: what lies across a short charges to nothing. */
function isAlongCopper({ mode, red, black }: Probe): boolean {
  if (mode === 'millivolts') return true;
  return mode === 'four-wire' && red.pin !== undefined && black.pin !== undefined;
}

function probeOf(step: Step): Probe | undefined {
  if (step.kind === 'read') return step.probe;
  return step.kind === 'lift' || step.kind === 'remove' ? step.then : undefined;
}

function stateAt(step: Step, state: BoardState): BoardState {
  if (step.kind === 'lift') return withLifted(state, step.pins);
  return step.kind === 'remove' ? withOff(state, step.parts) : state;
}
