import { createHash } from 'node:crypto';
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import { writeInto } from '../board/file-edits.ts';
import { loadBoard } from '../board/load.ts';
import { unifiedDiff } from '../board/text-diff.ts';
import { boardOf, deriveJob } from '../job/derive.ts';
import { checkBoard } from '../job/match-board.ts';
import { printSay } from '../job/print-say.ts';
import { append, closeJob, continueJob, openJob, type RawJob } from '../job/record.ts';
import { counted } from '../report/words.ts';
import { wrap } from '../report/wrap.ts';
import type { CommandResult, Context } from './context.ts';
import { diagnosticDocuments, printDiagnostics } from './diagnostics.ts';
import { EXIT } from './exit.ts';
import { readText, writeWhole } from './files.ts';

/**
 * What a job saw of its board that the file lacks, as a diff of the board file; or written into it.
 * @throws {InputError} when the file is not the one the job is of and it is to be written
 */
export async function boardWithJob(
  context: Context,
  path: string,
  jobPath: string,
  write: boolean,
): Promise<CommandResult> {
  const text = await readText(path, context);
  if (!write) {
    const made = madeFrom(text, path, openJob(jobPath));
    printDiagnostics(context, made.found);
    return shown(path, jobPath, made);
  }
  const handle = continueJob(jobPath);
  try {
    const made = madeFrom(text, path, handle.job);
    refuseChanged(made.found, path, jobPath);
    if (made.diff === '') return shown(path, jobPath, made);
    writeWhole(path, made.written, true);
    const digest = createHash('sha256').update(made.written).digest('hex');
    append(handle, printSay(made.board, { do: 'written', digest }));
    return written(path, jobPath, made);
  } finally {
    closeJob(handle);
  }
}

type Made = ReturnType<typeof madeFrom>;

function madeFrom(text: string, path: string, job: RawJob) {
  const { board } = loadBoard(text, path);
  const derived = deriveJob(board, job.events, job.path);
  const after = boardOf(board, derived);
  const written = writeInto(text, board, after);
  return {
    board,
    found: checkBoard(job, board),
    written,
    diff: unifiedDiff(text, written, path),
    seen: derived.growths.length,
  };
}

/** Earlier statements were made of the file as it was; somebody has to look at them again. */
function refuseChanged(found: readonly Diagnostic[], path: string, jobPath: string): void {
  const [first] = found;
  if (first === undefined) return;
  const hint = `look at the diff, and put in what is right of it by hand: trace-short board ${path} --with ${jobPath}`;
  throw new InputError([...found.slice(1), { ...first, severity: 'error', hint }]);
}

function document({ diff, seen, found }: Made, file: string, job: string) {
  return { file, job, seen, diff, warnings: diagnosticDocuments(found) };
}

function shown(path: string, jobPath: string, made: Made): CommandResult {
  const result = { exit: EXIT.ok, name: 'board-diff' };
  const facts = { ...document(made, path, jobPath), written: false };
  if (made.diff === '') {
    const none =
      made.seen === 0
        ? `Nothing to write: ${jobPath} says nothing of the board that its file lacks.`
        : `Nothing to write: ${path} holds all that ${jobPath} says of the board.`;
    return { ...result, document: facts, text: (style) => wrap(none, style.width) };
  }
  return { ...result, document: facts, text: () => made.diff.replace(/\n$/, '').split('\n') };
}

function written(path: string, jobPath: string, made: Made): CommandResult {
  const told =
    `Wrote ${path} with ${counted(made.seen, 'statement')} of ${jobPath}, ` +
    'which goes on with the file as it is now.';
  return {
    exit: EXIT.ok,
    name: 'board-diff',
    document: { ...document(made, path, jobPath), written: true },
    text: (style) => wrap(told, style.width),
  };
}
