import type { SimulatedBench } from '../../src/bench/simulated-bench.ts';
import type { Board } from '../../src/board/model.ts';
import type { BoardState } from '../../src/circuit/state.ts';
import type { Chances } from '../../src/faults/chances.ts';
import type { TakenReading } from '../../src/faults/evidence.ts';
import type { Explanation, Problem } from '../../src/faults/problem.ts';
import type { foresee } from '../../src/faults/standing.ts';

export function drawReadings(
  board: Board,
  options: {
    readonly bench: SimulatedBench;
    readonly next: () => number;
    readonly count: number;
    readonly wrong: number;
    readonly start: BoardState;
    readonly withOff: (state: BoardState, parts: readonly number[]) => BoardState;
    /** Share of readings in ohms; default 0.05. */
    readonly ohmsShare?: number;
  },
): { readings: TakenReading[]; state: BoardState; turned: number[] };
export function truthOf(
  problem: Problem,
  planted: SimulatedBench['faults'],
  tools: { readonly Chances: typeof Chances; readonly foresee: typeof foresee },
): { readonly ids: readonly number[]; readonly mass: number } | undefined;
export function takesIn(explanation: Explanation, ids: readonly number[]): boolean;
