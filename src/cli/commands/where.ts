import type { Diagnostic } from '../../board/diagnostic.ts';
import { InputError } from '../../board/diagnostic.ts';
import type { Board } from '../../board/model.ts';
import { nearest } from '../../board/nearest.ts';
import type { Point } from '../../circuit/reading.ts';
import type { Unreachable } from '../../faults/evidence.ts';
import { parsePoint } from '../../job/points.ts';
import { pictureSvg } from '../../report/picture/svg.ts';
import { whereLines } from '../../report/where/lines.ts';
import { type WhereView, wherePart, wherePoint, whereProbe } from '../../report/where/view.ts';
import { openBoard } from '../boards.ts';
import type { Context, Run } from '../context.ts';
import { EXIT } from '../exit.ts';
import { writeWhole } from '../files.ts';
import { looksLikeJob } from '../job-files.ts';
import { readJob } from '../jobs.ts';
import { warnOf } from '../opening.ts';
import { boardOption } from '../options.ts';

/** Where a part, a pin or a net is, or both points of a reading. */
export const run: Run = async (context, { words, options }) => {
  const [path = '', first = '', second] = words;
  const { board, unreachable } = await boardIn(context, path, boardOption(options));
  const view = viewOf(board, first, second, unreachable);
  const { svg } = options;
  if (typeof svg !== 'string') {
    return { exit: EXIT.ok, document: { ...view }, text: (style) => whereLines(view, style) };
  }
  if (view.corner === undefined) throw new InputError([noPlace(view)]);
  const drawn = pictureSvg(view.corner, titleOf(view), `Where ${view.title} is`);
  writeWhole(svg, drawn, options.overwrite === true);
  return { exit: EXIT.ok, document: { svg, ...view }, text: () => [`Wrote ${svg}.`] };
};

/** A job knows typed places, and what probes cannot reach; a board file does as well without. */
async function boardIn(
  context: Context,
  path: string,
  boardPath: string | undefined,
): Promise<{ readonly board: Board; readonly unreachable?: Unreachable }> {
  if (!looksLikeJob(path)) return { board: (await openBoard(context, path)).board };
  const job = await readJob(context, path, boardPath);
  warnOf(context, job);
  const { unreachable } = job.derived.evidence;
  return { board: job.board, ...(unreachable === undefined ? {} : { unreachable }) };
}

function viewOf(
  board: Board,
  first: string,
  second: string | undefined,
  unreachable: Unreachable | undefined,
): WhereView {
  if (second !== undefined) {
    const [red, black] = [parsePoint(board, first), parsePoint(board, second)];
    return whereProbe(board, { mode: 'continuity', red, black }, unreachable);
  }
  const part = partNamed(board, first);
  if (part !== undefined) return wherePart(board, part);
  return wherePoint(board, pointNamed(board, first), unreachable);
}

function partNamed(board: Board, name: string): number | undefined {
  const exact = board.partNamed.get(name);
  if (exact !== undefined) return exact.index;
  if (board.netNamed.has(name)) return undefined;
  const loose = board.parts.filter((part) => part.name.toLowerCase() === name.toLowerCase());
  return loose.length === 1 ? loose[0]?.index : undefined;
}

function pointNamed(board: Board, name: string): Point {
  try {
    return parsePoint(board, name);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const near = nearest(name, [...board.partNamed.keys(), ...board.netNamed.keys()]);
    const hint = near === undefined ? 'name a part, a pin or a net' : `did you mean "${near}"?`;
    const message = `the board has neither a part nor a point "${name}"`;
    throw new InputError([{ code: 'UNKNOWN_NAME', severity: 'error', message, hint }]);
  }
}

function noPlace({ title }: WhereView): Diagnostic {
  const message = `no place of ${title} is known, so there is nothing to draw`;
  const hint = 'give it one in the board file, or in a job: at C12 31.5 20';
  return { code: 'NO_PLACE', severity: 'error', message, hint };
}

function titleOf({ title, spots }: WhereView): string {
  return spots.length === 1 ? (spots[0]?.text ?? title) : title;
}
