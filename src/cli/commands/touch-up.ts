import { touchUpLines, viewTouchUp } from '../../report/touch-up.ts';
import { accusedJoints } from '../accused-joints.ts';
import type { Run } from '../context.ts';
import { EXIT } from '../exit.ts';
import { readJob } from '../jobs.ts';
import { cautionOnReturn, warnOf } from '../opening.ts';
import { boardOption } from '../options.ts';

/** Joints that will fail next, and what was found at them; exit 1 while one is cracked. */
export const run: Run = async (context, { words, options }) => {
  const [path = ''] = words;
  const job = await readJob(context, path, boardOption(options));
  warnOf(context, job);
  await cautionOnReturn(context, job);
  const { board, derived } = job;
  const view = viewTouchUp(board, derived, accusedJoints(board, derived));
  return {
    exit: view.cracked.length > 0 ? EXIT.found : EXIT.ok,
    document: { job: path, board: board.name, ...view },
    text: (style) => touchUpLines(view, path, style),
  };
};
