import type { FaultSettings } from '../../faults/settings.ts';
import type { BenchTimes } from '../../steps/bench-times.ts';
import type { StepSettings } from '../../steps/settings.ts';
import { withLearntMinutes } from './bench-pace.ts';
import { learntFrom, type MemoryFigures } from './figures.ts';
import { handKey } from './hand-key.ts';

/**
 * What past boards taught, as a workbench takes it.
 * @param times of the shop's settings; what was timed takes their place
 * @param technician who works: what was timed of them takes the place of the shop's
 */
export function memorySettings(
  figures: MemoryFigures,
  times: BenchTimes,
  technician?: string,
): { readonly faults: Partial<FaultSettings>; readonly steps: Partial<StepSettings> } {
  const usual = withLearntMinutes(times, figures.minutes ?? {});
  const own = technician === undefined ? undefined : figures.hands?.[handKey(technician)];
  return {
    faults: { learnt: learntFrom(figures) },
    steps: { times: withLearntMinutes(usual, own ?? {}) },
  };
}
