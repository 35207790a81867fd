import { InputError } from '../../board/diagnostic.ts';
import { type ShelfRow, shelfLines, sortedShelf } from '../../report/shelf.ts';
import { viewNext } from '../../report/standing.ts';
import type { Context, Run } from '../context.ts';
import { EXIT } from '../exit.ts';
import { readJob } from '../jobs.ts';
import { readShelf, type ShelvedJob } from '../shelf.ts';
import { standingOf } from '../standing.ts';
import { study } from '../study.ts';

/** Next steps take weighing: of so many jobs they are worked out unasked. */
const FEW = 3;

/** Lists the jobs of a folder: where each stands, what holds it up, what it took, what is next. */
export const run: Run = async (context, { words, options }) => {
  const [folder = '.'] = words;
  const shelved = await readShelf(context, folder, options.deep === true);
  const rows = sortedShelf(shelved.map(rowOf));
  const open = rows.filter(({ waitsFor }) => waitsFor === 'bench');
  const asked = options.steps === true || open.length <= FEW ? open : [];
  const weighed = new Map<string, Weighed>();
  for (const { job } of asked) {
    const found = await weigh(context, job);
    if (found !== undefined) weighed.set(job, found);
  }
  const view = { folder, jobs: rows.map((row) => ({ ...row, ...weighed.get(row.job) })) };
  return { exit: EXIT.ok, document: view, text: (style) => shelfLines(view, style) };
};

/** What weighing tells of a job beyond a glance. */
type Weighed = Pick<ShelfRow, 'stage' | 'next'>;

/** Undefined where settings beside the job cannot be read, which was told already. */
async function weigh(context: Context, path: string): Promise<Weighed | undefined> {
  try {
    const { board, derived, job } = await readJob(context, path);
    const known = study(board, derived.evidence);
    const standing = standingOf({ board, derived, purpose: job.opening.purpose }, known);
    const { stage, text } = viewNext(standing, known.advice().view);
    return { stage, next: text };
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
