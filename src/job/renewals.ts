/** What a refurbishment still has to renew although nothing has shown it failed. */
import type { Board } from '../board/model.ts';
import type { DerivedJob } from './derive.ts';
import { dueFor } from './repair/ageing.ts';

/** Parts due by age that were neither renewed in this job nor ticked as tested. */
export function dueRenewals(board: Board, job: DerivedJob): number[] {
  const tested = new Set(job.ticks.filter(({ item }) => item === 'tested').map(({ part }) => part));
  return board.parts
    .filter((part) => dueFor(part) !== undefined)
    .map(({ index }) => index)
    .filter((part) => !job.evidence.replacedAt.has(part) && !tested.has(part));
}
