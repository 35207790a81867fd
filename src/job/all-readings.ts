import type { Board } from '../board/model.ts';
import { AS_FOUND } from '../circuit/state.ts';
import type { TakenReading } from '../faults/evidence.ts';
import type { DerivedJob } from './derive.ts';
import { stateAfter } from './state-after.ts';

/**
 * Every cold reading that stands, each with the state of the board it was taken under; those from
 * before an upset as well, which are no evidence any more and still happened.
 */
export function allReadings(board: Board, job: DerivedJob): TakenReading[] {
  const readings: TakenReading[] = [];
  let state = AS_FOUND;
  for (const { event, say } of job.active) {
    if (say.do === 'read') readings.push({ ...say.reading, id: event.n, state });
    else state = stateAfter(board, state, say);
  }
  return readings;
}
