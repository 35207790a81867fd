import { InputError } from '../../board/diagnostic.ts';
import { harmless } from '../../board/shown-text.ts';
import { COMMON_HANDHELD } from '../../circuit/meter.ts';
import { adviceLines } from '../../report/advice.ts';
import { taskLines, viewNext } from '../../report/standing.ts';
import { wrap } from '../../report/wrap.ts';
import { openBoard } from '../boards.ts';
import type { Run } from '../context.ts';
import { printDiagnostics } from '../diagnostics.ts';
import { workbenchFor } from '../engine.ts';
import { EXIT } from '../exit.ts';
import { freeJobName, newJobWork } from '../jobs.ts';
import { meterOption } from '../meters.ts';
import { caution } from '../opening.ts';
import { referenceOption } from '../reference/good-readings.ts';
import { standingOf } from '../standing.ts';
import { studyAloud } from '../study.ts';

/** Opens a job: makes its record, prints the cautions, and gives the first step. */
export const run: Run = async (context, { words, options }) => {
  const [path = ''] = words;
  const purpose = purposeIn(options.purpose);
  if (path === '-') refuse('a job needs a board file it can name, not standard input');
  const meter = await meterOption(context, options);
  const { board, warnings } = await openBoard(context, path);
  printDiagnostics(context, warnings);
  const jobPath = typeof options.out === 'string' ? options.out : freeJobName(path);
  const reference = await referenceOption(context, options.reference, board);
  const work = await newJobWork(context, jobPath, board, purpose, meter, undefined, reference);
  try {
    const reader = workbenchFor(board).bench.meter;
    const cautions = await caution(context, board, 'full');
    const known = await studyAloud(context, board, work.derived.evidence);
    const { view } = known.advice();
    const standing = standingOf(work, known);
    const { task } = standing;
    return {
      exit: EXIT.ok,
      document: {
        job: jobPath,
        board: board.name,
        purpose,
        meter: reader.name,
        cautions,
        stage: standing.stage,
        next: viewNext(standing, view),
        advice: view,
      },
      text: (style) => [
        `Job opened: ${jobPath} (${purpose}${reader === COMMON_HANDHELD ? '' : `, ${harmless(reader.name)}`})`,
        '',
        ...(task === undefined ? adviceLines(view, style) : taskLines(task, style, jobPath)),
        '',
        ...wrap(`Then: trace-short next ${jobPath}`, style.width),
      ],
    };
  } finally {
    work.close();
  }
};

function purposeIn(option: unknown): 'repair' | 'refurbish' {
  if (option === undefined || option === 'repair') return 'repair';
  if (option === 'refurbish') return 'refurbish';
  return refuse(`unknown purpose "${option}"`, 'it is repair or refurbish');
}

function refuse(message: string, hint?: string): never {
  const plain = { code: 'USAGE', severity: 'error', message } as const;
  throw new InputError([hint === undefined ? plain : { ...plain, hint }]);
}
