import { worthLines } from '../../report/worth.ts';
import type { Run } from '../context.ts';
import { printDiagnostics } from '../diagnostics.ts';
import { EXIT } from '../exit.ts';
import { readJob } from '../jobs.ts';
import { warnOf } from '../opening.ts';
import { boardOption } from '../options.ts';
import { pricesOf } from '../prices.ts';
import { study } from '../study.ts';
import { worthOfJob } from '../worth.ts';

/** What a job has cost, what it will most likely cost still, and whether the board is worth it. */
export const run: Run = async (context, { words, options }) => {
  const [path = ''] = words;
  const read = await readJob(context, path, boardOption(options));
  warnOf(context, read);
  printDiagnostics(context, (await pricesOf(context, read.inForce)).warnings);
  const view = await worthOfJob(context, read, study(read.board, read.derived.evidence));
  return {
    exit: EXIT.ok,
    document: { job: path, ...view },
    text: (style) => worthLines(view, style),
  };
};
