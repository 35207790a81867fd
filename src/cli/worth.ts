import { repairList } from '../job/repair/list.ts';
import { piecesUsed, stagesAhead, waysAhead } from '../job/shop/ahead.ts';
import { worthOf } from '../job/shop/worth.ts';
import { workStages } from '../job/stage-of.ts';
import { timeSpent } from '../job/time-spent.ts';
import { viewWorth, type WorthView } from '../report/worth.ts';
import type { Context } from './context.ts';
import type { ReadJob } from './jobs.ts';
import { pricesOf } from './prices.ts';
import { standingOf } from './standing.ts';
import type { Study } from './study.ts';

/** What a job has cost and will most likely cost still, by the shop's figures. */
export async function worthOfJob(
  context: Context,
  { board, job, derived, inForce }: ReadJob,
  study: Study,
): Promise<WorthView> {
  const { shop } = inForce;
  const stages = workStages(derived);
  const spent = timeSpent(job.openedAt, derived.history.events, {
    awayAfter: shop.thresholds.awayAfter,
    stageOf: (n) => stages.get(n),
  });
  const isOver = derived.signOff !== undefined;
  const { raw } = study.advice();
  const { purpose } = job.opening;
  const standing = standingOf({ board, derived, purpose }, study);
  const list = repairList(study.analysis, derived, purpose);
  const worth = worthOf(shop, await pricesOf(context, inForce), {
    board: board.name,
    spent,
    used: piecesUsed(board.parts, derived),
    ahead: isOver ? [] : waysAhead(study.analysis, raw, list),
    stages: isOver ? [] : stagesAhead(standing.stages, standing.stage, shop.stageTimes),
    isStuck: !isOver && raw.step.kind === 'done' && raw.phase !== 'clear',
  });
  return viewWorth(board.name, shop.currency, worth, spent);
}
