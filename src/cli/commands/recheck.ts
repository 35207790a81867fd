import { recheck } from '../../job/recheck.ts';
import { recheckLines, viewRecheck } from '../../report/recheck.ts';
import type { Run } from '../context.ts';
import { healthyPartsOf } from '../engine.ts';
import { EXIT } from '../exit.ts';
import { readJob } from '../jobs.ts';
import { cautionOnReturn, warnOf } from '../opening.ts';
import { boardOption } from '../options.ts';

/** The readings of a job beside themselves: as found, with parts off, put back. */
export const run: Run = async (context, { words, options }) => {
  const [path = ''] = words;
  const job = await readJob(context, path, boardOption(options));
  warnOf(context, job);
  await cautionOnReturn(context, job);
  const { board, derived } = job;
  const view = viewRecheck(board, recheck(board, derived, healthyPartsOf(board)));
  return {
    exit: view.differs ? EXIT.found : EXIT.ok,
    document: { job: path, board: board.name, ...view },
    text: (style) => recheckLines(view, style),
  };
};
