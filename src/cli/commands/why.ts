import { type Diagnostic, InputError } from '../../board/diagnostic.ts';
import type { Board } from '../../board/model.ts';
import { nearest } from '../../board/nearest.ts';
import { parsePoint } from '../../job/points.ts';
import { diagnosisLines } from '../../report/diagnosis.ts';
import { pairLines, partLines, viewPair, viewPart } from '../../report/explain.ts';
import { explainPair } from '../../steps/explain-pair.ts';
import { explainPart } from '../../steps/explain-part.ts';
import { insteadOf } from '../../steps/instead.ts';
import type { CommandResult, Run } from '../context.ts';
import { EXIT } from '../exit.ts';
import { type ReadJob, readJob } from '../jobs.ts';
import { cautionOnReturn, warnOf } from '../opening.ts';
import { boardOption } from '../options.ts';
import { type Study, studyAloud } from '../study.ts';

/** Explains a pair of points, a part, or what all readings together leave standing. */
export const run: Run = async (context, { words, options }) => {
  const [path = '', first, second] = words;
  const job = await readJob(context, path, boardOption(options));
  warnOf(context, job);
  await cautionOnReturn(context, job);
  const known = await studyAloud(context, job.board, job.derived.evidence);
  if (first === undefined) return explainAll(known);
  return second === undefined
    ? explainOne(job, known, first)
    : explainTwo(job, known, first, second);
};

function explainAll(known: Study): CommandResult {
  return {
    exit: known.diagnosis.contradictory ? EXIT.contradiction : EXIT.ok,
    document: { diagnosis: known.diagnosis },
    text: (style) => diagnosisLines(known.diagnosis, style, 12),
  };
}

function explainOne({ board, derived }: ReadJob, known: Study, name: string): CommandResult {
  const part = partNamed(board, name);
  const instead = insteadOf(known.analysis, { part });
  const view = viewPart(board, derived.evidence, explainPart(known.analysis, part), instead);
  return { exit: EXIT.ok, document: { part: view }, text: (style) => partLines(view, style) };
}

function explainTwo(
  { board }: ReadJob,
  known: Study,
  first: string,
  second: string,
): CommandResult {
  const [a, b] = [parsePoint(board, first).net, parsePoint(board, second).net];
  const instead = insteadOf(known.analysis, { nets: [a, b] });
  const view = viewPair(board, explainPair(known.analysis, a, b), instead);
  return { exit: EXIT.ok, document: { pair: view }, text: (style) => pairLines(view, style) };
}

function partNamed(board: Board, name: string): number {
  const exact = board.partNamed.get(name);
  const loose = board.parts.filter((part) => part.name.toLowerCase() === name.toLowerCase());
  const part = exact ?? (loose.length === 1 ? loose[0] : undefined);
  if (part !== undefined) return part.index;
  const isNet = board.netNamed.has(name);
  const near = nearest(name, board.partNamed.keys());
  const hint = isNet
    ? `"${name}" is a net: name two points, or a part`
    : near === undefined
      ? 'name a part, or two points'
      : `did you mean "${near}"?`;
  const message = `the board has no part "${name}"`;
  const diagnostic: Diagnostic = { code: 'UNKNOWN_PART', severity: 'error', message, hint };
  throw new InputError([diagnostic]);
}
