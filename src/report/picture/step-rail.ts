import type { Board } from '../../board/model.ts';
import type { Probe } from '../../circuit/reading.ts';
import type { Step } from '../../steps/step.ts';
import { type DrawnRail, railOn } from './rail-named.ts';

/** The reading a step is about, from the pads. */
export function probeOf(step: Step): Probe | undefined {
  const probe = step.kind === 'read' ? step.probe : 'then' in step ? step.then : undefined;
  return probe?.offPart === undefined ? probe : undefined;
}

/** The rail a step reads or works on: one of the board file's, else a net with what it is read against. */
export function railOfStep(board: Board, step: Step): DrawnRail | undefined {
  const probe = probeOf(step);
  const parts = 'parts' in step ? step.parts : 'part' in step ? [step.part] : [];
  const pins = board.parts[parts[0] ?? -1]?.pins ?? [];
  const nets =
    probe === undefined
      ? pins.flatMap((pin) => board.pins[pin]?.net ?? [])
      : [probe.red.net, probe.black.net];
  const rail = board.rails.find(({ plus }) => nets.includes(plus));
  return rail ?? (nets[0] === undefined ? undefined : railOn(board, nets[0]));
}
