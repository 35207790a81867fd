import type { FaultSettings } from '../../faults/settings.ts';
import type { BenchTimes } from '../../steps/bench-times.ts';
import type { StepSettings } from '../../steps/settings.ts';
import { withLearntMinutes } from './bench-pace.ts';
import { learntFrom, type MemoryFigures } from './figures.ts';

/**
 * What past boards taught, as a workbench takes it.
 * @param times of the shop's settings; what was timed takes their place
 */
export function memorySettings(
  figures: MemoryFigures,
  times: BenchTimes,
): { readonly faults: Partial<FaultSettings>; readonly steps: Partial<StepSettings> } {
  return {
    faults: { learnt: learntFrom(figures) },
    steps: { times: withLearntMinutes(times, figures.minutes ?? {}) },
  };
}
