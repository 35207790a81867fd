import { railNamed } from '../../report/picture/rail-named.ts';
import { pictureSvg } from '../../report/picture/svg.ts';
import { pictureLines } from '../../report/picture/text.ts';
import { viewPicture } from '../../report/picture/view.ts';
import type { Run } from '../context.ts';
import { EXIT } from '../exit.ts';
import { writeWhole } from '../files.ts';
import { readJob } from '../jobs.ts';
import { cautionOnReturn, warnOf } from '../opening.ts';
import { boardOption } from '../options.ts';
import { studyAloud } from '../study.ts';

/** Shows one rail of a job in its places, with its readings and suspects. */
export const run: Run = async (context, { words, options }) => {
  const [path = '', ...name] = words;
  const job = await readJob(context, path, boardOption(options));
  const { board, derived } = job;
  const rail = railNamed(board, name.join(' '));
  warnOf(context, job);
  await cautionOnReturn(context, job);
  const { analysis, advice } = await studyAloud(context, board, derived.evidence);
  const view = viewPicture({
    board,
    rail,
    evidence: derived.evidence,
    suspects: analysis.diagnosis.suspects,
    step: advice().raw.step,
  });
  const { svg } = options;
  if (typeof svg !== 'string') {
    return { exit: EXIT.ok, document: { ...view }, text: (style) => pictureLines(view, style) };
  }
  writeWhole(svg, pictureSvg(view), options.overwrite === true);
  return { exit: EXIT.ok, document: { svg, ...view }, text: () => [`Wrote ${svg}.`] };
};
