import { checksFor } from '../../job/shop/shop.ts';
import { cautionsOf, duringStop, stopConditions } from '../../report/power-cautions.ts';
import { powerLines } from '../../report/power-lines.ts';
import { viewPowerPlan } from '../../report/power-plan.ts';
import type { Run } from '../context.ts';
import { gatesOf, powerPlanOf } from '../engine.ts';
import { EXIT } from '../exit.ts';
import { readJob } from '../jobs.ts';
import { cautionOnReturn, warnOf } from '../opening.ts';
import { boardOption } from '../options.ts';

/** The staged plan for first power, and how far it has come; exit 1 while gates do not hold, or a rail was read amiss. */
export const run: Run = async (context, { words, options }) => {
  const [path = ''] = words;
  const job = await readJob(context, path, boardOption(options));
  warnOf(context, job);
  const { board, derived } = job;
  await cautionOnReturn(context, job);
  const checks = checksFor(job.inForce.shop, board.name);
  const view = viewPowerPlan(board, powerPlanOf(board), derived, gatesOf(board, derived), checks);
  const texts = {
    cautions: cautionsOf(view),
    stopWhen: stopConditions(view),
    thenDo: duringStop(view),
  };
  return {
    exit: view.ready && !view.isAmiss ? EXIT.ok : EXIT.found,
    document: { job: path, ...view, ...texts },
    text: (style) => powerLines(view, path, style),
  };
};
