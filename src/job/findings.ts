/** What was found, by what changed a reading: the last one with the fault, the first one without. */

import type { Board } from '../board/model.ts';
import { isAcrossBoard } from '../circuit/reading.ts';
import type { TakenReading } from '../faults/evidence.ts';
import type { Healthy } from '../steps/proof.ts';
import { allReadings } from './all-readings.ts';
import type { ActiveEvent, DerivedJob } from './derive.ts';
import { pairKeyOf, type SeenVerdict, verdictOf } from './recheck-columns.ts';
import type { Say } from './say.ts';

/** A pair whose reading turned. */
export interface Turn {
  readonly key: string;
  readonly before: TakenReading;
  readonly after: TakenReading;
  /** What was wrong before: a short, or a way that was missing. */
  readonly was: 'short' | 'open';
}

/** Pairs that turned with the same work done between. */
export interface Finding {
  /** The work, in its order: removals, replacements, and what was put right; or lifts alone. */
  readonly work: readonly ActiveEvent[];
  /** Parts that were taken off or replaced by that work. */
  readonly parts: readonly number[];
  readonly turns: readonly Turn[];
  /** `lift` only narrows down where the fault is; `none` means that nothing was done between. */
  readonly by: 'repair' | 'lift' | 'none';
}

const REPAIRS: readonly Say['do'][] = ['remove', 'replace', 'reflow', 'clean', 'mend', 'refit'];

/**
 * Groups the turns of all pairs by the work that lies between their readings; the least work first,
 * since it says most.
 */
export function findings(board: Board, job: DerivedJob, healthy: Healthy): Finding[] {
  const byPair = new Map<string, TakenReading[]>();
  for (const reading of allReadings(board, job)) {
    if (!isAcrossBoard(reading)) continue;
    const key = pairKeyOf(reading);
    byPair.set(key, [...(byPair.get(key) ?? []), reading]);
  }
  const groups = new Map<string, Finding>();
  for (const [key, readings] of byPair) {
    for (const turn of turnsOf(key, readings, healthy)) {
      const found = workBetween(job, turn);
      const name = `${found.by} ${found.work.map(({ event }) => event.n).join(' ')}`;
      const held = groups.get(name);
      groups.set(name, { ...found, turns: [...(held?.turns ?? []), turn] });
    }
  }
  return [...groups.values()].sort(
    (x, y) => x.work.length - y.work.length || firstOf(x) - firstOf(y),
  );
}

function firstOf({ work, turns }: Finding): number {
  return work[0]?.event.n ?? turns[0]?.after.id ?? 0;
}

function turnsOf(key: string, readings: readonly TakenReading[], healthy: Healthy): Turn[] {
  const turns: Turn[] = [];
  readings.forEach((after, at) => {
    const before = readings[at - 1];
    if (before === undefined) return;
    const was = faultIn(before, verdictOf(before, healthy));
    if (was !== undefined && isGone(was, verdictOf(after, healthy))) {
      turns.push({ key, before, after, was });
    }
  });
  return turns;
}

/** A missing way is a fault only with everything on the board. */
function faultIn({ state, value }: TakenReading, verdict: SeenVerdict): Turn['was'] | undefined {
  if (verdict === 'short') return 'short';
  const isHigh = value.kind === 'quiet' || value.kind === 'over';
  const isWhole = state.off.size + state.lifted.size === 0;
  return verdict === 'unlike healthy' && isHigh && isWhole ? 'open' : undefined;
}

function isGone(was: Turn['was'], now: SeenVerdict): boolean {
  return was === 'short' ? now === 'clear' || now === 'unlike healthy' : now === 'clear';
}

function workBetween(job: DerivedJob, { before, after }: Turn): Omit<Finding, 'turns'> {
  const between = job.active.filter(({ event }) => event.n > before.id && event.n < after.id);
  const repairs = between.filter(({ say }) => REPAIRS.includes(say.do));
  const lifts = between.filter(({ say }) => say.do === 'lift');
  const work = repairs.length > 0 ? repairs : lifts;
  const parts = new Set(repairs.flatMap(({ say }) => ('parts' in say ? say.parts : [])));
  const by = repairs.length > 0 ? 'repair' : lifts.length > 0 ? 'lift' : 'none';
  return { work, parts: [...parts], by };
}
