/** Which pieces have failed, by the readings: those in place now, and those already taken out. */
import type { Board } from '../../board/model.ts';
import { TURNED_MODE } from '../../circuit/turned.ts';
import { type Bench, diagnosisOf, weigh } from '../../faults/diagnose.ts';
import type { Diagnosis } from '../../faults/diagnosis.ts';
import type { Analysis } from '../../steps/advise.ts';
import { type DerivedJob, deriveJob } from '../derive.ts';
import type { JobEvent } from '../event-line.ts';

/** How far a piece is believed to have failed; open joints, and pieces to be turned, are left out. */
export interface Failure {
  readonly part: number;
  /** 0–1. */
  readonly weight: number;
  /** Failed modes that carry weight, heaviest first. */
  readonly modes: readonly { readonly mode: string; readonly weight: number }[];
  readonly alike: readonly number[];
}

/** Below this a part is no suspect. */
export const SUSPECT_WEIGHT = 0.01;

/** Failures of the pieces now in place, or lying beside the board. */
export function failuresNow(diagnosis: Diagnosis): Map<number, Failure> {
  const found = new Map<number, Failure>();
  for (const { part, modes, alike } of diagnosis.suspects) {
    const own = modes.filter(({ mode }) => mode !== 'joint open' && mode !== TURNED_MODE);
    const weight = Math.min(
      1,
      own.reduce((sum, each) => sum + each.weight, 0),
    );
    if (weight >= SUSPECT_WEIGHT) found.set(part, { part, weight, modes: own, alike });
  }
  return found;
}

/**
 * Failures of pieces that were replaced, as they were weighed just before that: later readings
 * speak of the new piece. Weighs once for each event that replaced parts, and keeps what it found.
 */
export function failuresBefore(analysis: Analysis, job: DerivedJob): Map<number, Failure> {
  const { bench, board } = analysis.workbench;
  const found = new Map<number, Failure>();
  for (const { event, say } of job.active) {
    if (say.do !== 'replace') continue;
    const told = failuresAt(bench, board, earlierThan(job, event.n));
    for (const part of say.parts) {
      const failure = told.get(part);
      const held = found.get(part);
      if (failure !== undefined && failure.weight > (held?.weight ?? 0)) found.set(part, failure);
    }
  }
  return found;
}

function earlierThan(job: DerivedJob, n: number): JobEvent[] {
  return job.active.filter(({ event }) => event.n < n).map(({ event }) => event);
}

/** The past does not change, and weighing it costs: kept by what was said, for as long as the bench. */
const held = new WeakMap<Bench, Map<string, ReadonlyMap<number, Failure>>>();

function failuresAt(
  bench: Bench,
  board: Board,
  events: readonly JobEvent[],
): ReadonlyMap<number, Failure> {
  const known = held.get(bench) ?? new Map<string, ReadonlyMap<number, Failure>>();
  held.set(bench, known);
  const key = events.map(({ n, say }) => `${n} ${say}`).join('\n');
  const kept = known.get(key);
  if (kept !== undefined) return kept;
  const { evidence } = deriveJob(board, events);
  const failures = failuresNow(diagnosisOf(bench, evidence, weigh(bench, evidence)));
  known.set(key, failures);
  return failures;
}
