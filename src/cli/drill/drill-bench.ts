import { SimulatedBench } from '../../bench/simulated-bench.ts';
import type { Board } from '../../board/model.ts';
import type { Meter } from '../../circuit/meter.ts';
import { useMeter } from '../engine.ts';

export interface DrillOptions {
  readonly seed: number;
  readonly faults: number;
  /** A common handheld when left out. */
  readonly meter?: Meter;
}

/** The simulated board of a drill, read and reasoned about with one meter. */
export function drillBench(board: Board, options: DrillOptions): SimulatedBench {
  useMeter(board, options.meter);
  return new SimulatedBench(board, options);
}
