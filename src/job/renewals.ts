/** What still has to be renewed although no reading has accused it. */
import type { Board } from '../board/model.ts';
import type { LookFinding } from '../faults/evidence.ts';
import type { DerivedJob } from './derive.ts';
import type { JobPurpose } from './event-line.ts';
import { dueFor } from './repair/ageing.ts';

export interface Renewal {
  readonly part: number;
  /** What an eye found, or why a refurbishment renews it. */
  readonly why: LookFinding | 'dries out' | 'fails first';
}

/** Findings after which a part does not stay, whatever the meter shows. */
const NOT_TO_STAY: ReadonlySet<LookFinding> = new Set([
  'burnt',
  'cracked',
  'leaking',
  'wrong part',
]);

/**
 * Parts an eye found bad, and in a refurbishment those due by age, that were neither renewed in this
 * job nor ticked as tested. A later look that finds a part sound takes the earlier one back.
 */
export function renewals(board: Board, job: DerivedJob, purpose: JobPurpose): Renewal[] {
  const found = findings(job);
  const tested = new Set(job.ticks.filter(({ item }) => item === 'tested').map(({ part }) => part));
  return board.parts.flatMap((part): Renewal[] => {
    const { index } = part;
    if (tested.has(index) || job.evidence.state.off.has(index)) return [];
    const seen = found.get(index);
    if (seen !== undefined && NOT_TO_STAY.has(seen)) return [{ part: index, why: seen }];
    const due = purpose === 'refurbish' ? dueFor(part) : undefined;
    const isNew = job.evidence.replacedAt.has(index);
    return due === undefined || isNew ? [] : [{ part: index, why: due }];
  });
}

/** By part: what was last seen of the piece that is fitted now. */
function findings({ evidence }: DerivedJob): ReadonlyMap<number, LookFinding> {
  const found = new Map<number, LookFinding>();
  for (const { part, pin, finding, state } of evidence.looks) {
    if (part === undefined || pin !== undefined) continue;
    const isNow = (state.piece.get(part) ?? 0) === (evidence.state.piece.get(part) ?? 0);
    if (isNow) found.set(part, finding);
  }
  return found;
}
