// Stand-in until the engine lands.
import type { Board } from '../board/model.ts';
import type { Probe, ReadingValue } from '../circuit/reading.ts';
import type { BoardState } from '../circuit/state.ts';
import type { Diagnosis, FaultName } from '../faults/diagnosis.ts';
import type { Evidence } from '../faults/evidence.ts';
import type { Advice } from '../steps/step.ts';

export interface Analysis {
  readonly board: Board;
  readonly evidence: Evidence;
  readonly diagnosis: Diagnosis;
}

export function analyse(board: Board, evidence: Evidence): Analysis {
  const beeps = evidence.readings.filter(({ value }) => value.kind === 'beep');
  const diagnosis: Diagnosis = {
    sets:
      beeps.length === 0
        ? []
        : [{ faults: [{ what: 'part', parts: [0], mode: 'short' }], weight: 1, wrongReadings: [] }],
    suspects:
      beeps.length === 0
        ? []
        : [{ part: 0, weight: 1, modes: [{ mode: 'short', weight: 1 }], alike: [0] }],
    cleared: [],
    doubtful: [],
    contradictory: false,
    missingLinks: [],
    leftOut: 0,
    faultWeight: beeps.length === 0 ? 0 : 1,
    expanded: 0,
  };
  return { board, evidence, diagnosis };
}

export function advise(analysis: Analysis): Advice {
  const { board, evidence } = analysis;
  const left = board.rails.filter(
    (rail) =>
      !evidence.readings.some(
        ({ red, black }) => red.net === rail.plus && black.net === rail.minus,
      ),
  );
  const [rail] = left;
  const base = {
    minutes: 0.3,
    minutesLeft: left.length * 0.3,
    others: [],
    open: left.map((r) => `rail ${r.name} not read`),
  };
  if (rail === undefined)
    return {
      ...base,
      phase: 'clear',
      step: { kind: 'done' },
      why: 'Every rail has been read.',
      outcomes: [],
    };
  const probe: Probe = { mode: 'continuity', red: { net: rail.plus }, black: { net: rail.minus } };
  return {
    ...base,
    phase: 'survey',
    step: { kind: 'read', probe, purpose: 'survey' },
    why: `The rail ${rail.name} has not been read.`,
    outcomes: [
      { answer: 'beep', weight: 0.3, means: 'something across the rail is shorted' },
      { answer: 'quiet', weight: 0.7, means: 'the rail is not shorted' },
    ],
  };
}

export function isHealthyBeep(_analysis: Analysis, _probe: Probe): boolean {
  return false;
}

export class SimulatedBench {
  readonly hidden: readonly FaultName[] = [];
  readonly seed: number;
  constructor(_board: Board, options: { seed: number; faults: number }) {
    this.seed = options.seed;
  }
  answer(_probe: Probe, _state: BoardState): ReadingValue {
    return { kind: 'quiet' };
  }
}
export function explainPair(_analysis: Analysis, a: number, b: number): unknown {
  return { a, b };
}
export function explainPart(_analysis: Analysis, part: number): unknown {
  return { part };
}
