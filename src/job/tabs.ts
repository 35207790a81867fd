/** Parts fastened to a heatsink that came off: the tab is read apart from the metal, and fastened. */
import type { Board } from '../board/model.ts';
import type { Probe } from '../circuit/reading.ts';
import { type Healthy, missingBetween } from '../steps/proof.ts';
import type { Isolation } from './bench-log.ts';
import type { DerivedJob } from './derive.ts';
import { fasteningOf, isApart } from './repair/fastening.ts';

/** One part on a heatsink, as it was last fitted. */
export interface FittedTab {
  readonly part: number;
  /** Event that put it back or renewed it. */
  readonly since: number;
  /** How its tab is shown apart from the metal; `none` where nothing is to be shown. */
  readonly apart:
    | { readonly by: 'none' }
    /** The metal is wired to a net: a reading between two nets, `missing` until it read clear. */
    | { readonly by: 'reading'; readonly missing?: Probe }
    /** `last` is the isolation said since; `holds` when it is high enough. */
    | { readonly by: 'isolation'; readonly last?: Isolation; readonly holds: boolean };
  readonly isFastened: boolean;
}

/** Every part on a heatsink that was fitted in this job and is on the board now. */
export function fittedTabs(board: Board, job: DerivedJob, healthy: Healthy): FittedTab[] {
  return [...fittings(board, job)]
    .filter(([part]) => !job.evidence.state.off.has(part))
    .map(([part, since]) => ({
      part,
      since,
      apart: apartness(board, job, healthy, part, since),
      isFastened: job.ticks.some(
        (tick) => tick.part === part && tick.item === 'fastened' && tick.event > since,
      ),
    }));
}

/** By part on a heatsink: the event that last fitted it, after it had been off or renewed. */
function fittings(board: Board, job: DerivedJob): Map<number, number> {
  const off = new Set<number>();
  const fitted = new Map<number, number>();
  for (const { event, say } of job.active) {
    if (say.do === 'remove') for (const part of say.parts) off.add(part);
    if (say.do !== 'refit' && say.do !== 'replace') continue;
    for (const part of say.parts) {
      const isNew = say.do === 'replace' || off.has(part);
      off.delete(part);
      if (isNew && board.parts[part]?.heatsink !== undefined) fitted.set(part, event.n);
    }
  }
  return fitted;
}

function apartness(
  board: Board,
  job: DerivedJob,
  healthy: Healthy,
  index: number,
  since: number,
): FittedTab['apart'] {
  const part = board.parts[index];
  const fastening = part && fasteningOf(board, part);
  const needed = fastening?.insulator === 'needed' || fastening?.insulator === 'as found';
  if (fastening === undefined || !needed) return { by: 'none' };
  const tab = board.pins[fastening.tabPin ?? -1]?.net;
  const metal = board.heatsinks?.find(({ name }) => name === fastening.heatsink)?.net;
  if (metal !== undefined && tab !== undefined) {
    const missing = missingBetween(job.evidence, [tab, metal], since, healthy);
    return { by: 'reading', ...(missing === undefined ? {} : { missing }) };
  }
  const last = job.isolations.findLast((one) => one.part === index && one.event > since);
  if (last === undefined) return { by: 'isolation', holds: false };
  return { by: 'isolation', last, holds: isApart(last) };
}
