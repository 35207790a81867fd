import { diagnosisLines } from '../../report/diagnosis.ts';
import { pairLines, partLines } from '../../report/explain.ts';
import type { CommandResult, Run } from '../context.ts';
import { EXIT } from '../exit.ts';
import { readJob } from '../jobs.ts';
import { cautionOnReturn, warnOf } from '../opening.ts';
import { boardOption } from '../options.ts';
import { type Study, studyAloud } from '../study.ts';
import { pairExplained, partExplained } from '../why-views.ts';

/** Explains a pair of points, a part, or what all readings together leave standing. */
export const run: Run = async (context, { words, options }) => {
  const [path = '', first, second] = words;
  const job = await readJob(context, path, boardOption(options));
  warnOf(context, job);
  await cautionOnReturn(context, job);
  const known = await studyAloud(context, job.board, job.derived.evidence);
  if (first === undefined) return explainAll(known);
  if (second === undefined) {
    const part = partExplained(job.board, known, first);
    return { exit: EXIT.ok, document: { part }, text: (style) => partLines(part, style) };
  }
  const pair = pairExplained(job.board, known, first, second);
  return { exit: EXIT.ok, document: { pair }, text: (style) => pairLines(pair, style) };
};

function explainAll(known: Study): CommandResult {
  return {
    exit: known.diagnosis.contradictory ? EXIT.contradiction : EXIT.ok,
    document: { diagnosis: known.diagnosis },
    text: (style) => diagnosisLines(known.diagnosis, style, 12),
  };
}
