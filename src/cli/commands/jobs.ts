import { InputError } from '../../board/diagnostic.ts';
import { type ShelfRow, shelfLines, sortedShelf } from '../../report/shelf.ts';
import type { Context, Run } from '../context.ts';
import { EXIT } from '../exit.ts';
import { readJob } from '../jobs.ts';
import { readShelf, type ShelvedJob } from '../shelf.ts';
import { study } from '../study.ts';

/** Next steps take weighing: of so many jobs they are worked out unasked. */
const FEW = 3;

/** Stages whose next step follows from the readings; elsewhere what holds the job up says it. */
const WEIGHED = new Set(['cold survey', 'isolate', 'repair', 'recheck']);

/** Lists the jobs of a folder: where each stands, what holds it up, what it took, what is next. */
export const run: Run = async (context, { words, options }) => {
  const [folder = '.'] = words;
  const shelved = await readShelf(context, folder, options.deep === true);
  const rows = sortedShelf(shelved.map(rowOf));
  const open = rows.filter(isWeighed);
  const asked = options.steps === true || open.length <= FEW ? open : [];
  const next = new Map<string, string>();
  for (const { job } of asked) {
    const step = await nextStep(context, job);
    if (step !== undefined) next.set(job, step);
  }
  const jobs = rows.map((row) => {
    const step = next.get(row.job);
    return step === undefined ? row : { ...row, next: step };
  });
  const view = { folder, jobs };
  return { exit: EXIT.ok, document: view, text: (style) => shelfLines(view, style) };
};

function isWeighed({ stage, waitsFor }: ShelfRow): boolean {
  return waitsFor === 'bench' && stage !== undefined && WEIGHED.has(stage);
}

/** Undefined where settings beside the job cannot be read, which was told already. */
async function nextStep(context: Context, path: string): Promise<string | undefined> {
  try {
    const { board, derived } = await readJob(context, path);
    return study(board, derived.evidence).advice().view.step.text;
  } catch (error) {
    if (error instanceof InputError) return undefined;
    throw error;
  }
}

function rowOf(shelved: ShelvedJob): ShelfRow {
  const { path } = shelved;
  if (shelved.is === 'damaged') {
    return { job: path, waitsFor: 'mending', heldUpBy: problemText(shelved.problem) };
  }
  const { job, spent } = shelved;
  const facts = {
    job: path,
    board: job.opening.board,
    purpose: job.opening.purpose,
    minutes: spent.minutes,
    lastEntry: job.events.at(-1)?.at ?? job.openedAt,
  };
  if (shelved.is === 'boardless') {
    return { ...facts, waitsFor: 'mending', heldUpBy: problemText(shelved.problem) };
  }
  return { ...facts, ...shelved.glance };
}

function problemText({ message, place }: { message: string; place?: { line: number } }): string {
  return place === undefined ? message : `line ${place.line}: ${message}`;
}
