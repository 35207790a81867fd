/** What was ticked off for a part on the pull and fit lists. */
import type { Isolation } from '../bench-log.ts';
import type { DerivedJob } from '../derive.ts';
import type { TickItem } from '../say.ts';

/** Items ticked, each with the event of its last tick. */
export type Ticks = ReadonlyMap<TickItem, number>;

/**
 * Items ticked for a part in the present round. A round begins when the piece before the present
 * one was fitted: a part that is done keeps the ticks that led up to it, one that came onto the list
 * again starts afresh.
 */
export function ticksOf(job: DerivedJob, part: number, isDone: boolean): Ticks {
  const from = roundStart(job, part, isDone);
  const ours = job.ticks.filter((tick) => tick.part === part && tick.event > from);
  return new Map(ours.map(({ item, event }) => [item, event]));
}

/** The tab's last reading against its heatsink in the present round. */
export function isolationOf(job: DerivedJob, part: number, isDone: boolean): Isolation | undefined {
  const from = roundStart(job, part, isDone);
  return job.isolations.findLast((each) => each.part === part && each.event > from);
}

/** Event after which what was done for a part belongs to the present round; 0 for the first. */
function roundStart(job: DerivedJob, part: number, isDone: boolean): number {
  const fitted = job.active
    .filter(({ say }) => say.do === 'replace' && say.parts.includes(part))
    .map(({ event }) => event.n);
  return fitted.at(isDone ? -2 : -1) ?? 0;
}
