import { repairList } from '../../job/repair/list.ts';
import { repairCsv } from '../../report/repair/csv.ts';
import { repairLines } from '../../report/repair/lines.ts';
import { viewRepair } from '../../report/repair/view.ts';
import type { Run } from '../context.ts';
import { EXIT } from '../exit.ts';
import { readJob } from '../jobs.ts';
import { cautionOnReturn, warnOf } from '../opening.ts';
import { boardOption } from '../options.ts';
import { study } from '../study.ts';

/** What to get, what comes off and what goes on, with what is done of it. */
export const run: Run = async (context, { words, options }) => {
  const [path = ''] = words;
  const read = await readJob(context, path, boardOption(options));
  warnOf(context, read);
  const cautions = await cautionOnReturn(context, read);
  const { board, derived, job } = read;
  const { analysis } = study(board, derived.evidence);
  const view = viewRepair(board, repairList(analysis, derived, job.opening.purpose));
  const csv = options.csv === true ? repairCsv(view) : undefined;
  return {
    exit: EXIT.ok,
    document: { job: path, cautions, ...view },
    text: (style) =>
      csv === undefined ? repairLines(view, style) : csv.replace(/\n$/, '').split('\n'),
  };
};
