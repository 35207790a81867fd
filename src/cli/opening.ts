import type { Board } from '../board/model.ts';
import { mayBeUnderPower } from '../job/under-power.ts';
import {
  type CautionsView,
  cautionLines,
  shortCautionLines,
  viewCautions,
} from '../report/cautions.ts';
import { wrap } from '../report/wrap.ts';
import { type Context, styleFor } from './context.ts';
import { printDiagnostics } from './diagnostics.ts';
import type { ReadJob } from './jobs.ts';
import { say } from './print.ts';

/** After this long without an entry, opening a job is taking it up again; a shop may have it sooner, min. */
const PAUSE_MINUTES = 30;

/** The cautions of a job just read: in full when it was left for a while, else in short. */
export async function cautionOnReturn(context: Context, read: ReadJob): Promise<CautionsView> {
  const last = read.job.events.at(-1)?.at ?? read.job.openedAt;
  const pause = Math.min(PAUSE_MINUTES, read.inForce.shop.thresholds.awayAfter);
  const isFresh = Date.now() - Date.parse(last) < pause * 60_000;
  if (!mayBeUnderPower(read.derived)) {
    return await caution(context, read.board, isFresh ? 'short' : 'full');
  }
  const style = await styleFor(context, context.stderr);
  say(context, wrap(LIVE_CAUTION, style.width).map(style.palette.warn));
  return isFresh ? viewCautions(read.board) : await caution(context, read.board, 'full');
}

/** For a board that the record leaves under power, where the cautions of a cold one would mislead. */
export const LIVE_CAUTION: string =
  'By the record this board may be under power: hands off, eyes covered, never unwatched. Before it is ' +
  'touched: off, unplugged, discharged, measured. Local codes and licensed practice come first.';

/**
 * Prints a board's cautions on stderr. There is no option to leave them out: `full` when a job is
 * opened or resumed, `short` for the calls that follow.
 */
export async function caution(
  context: Context,
  board: Board,
  length: 'full' | 'short',
): Promise<CautionsView> {
  const view = viewCautions(board);
  const style = await styleFor(context, context.stderr);
  say(context, length === 'full' ? cautionLines(view, style) : shortCautionLines(view, style));
  return view;
}

/** What is odd about a job just read: shown once, before anything else is said about it. */
export function warnOf(context: Context, job: ReadJob): void {
  printDiagnostics(context, job.warnings);
}

/** The cautions a screenful at a time, gone on from by Enter; for the guided run. */
export async function cautionAtTerminal(
  context: Context,
  board: Board,
  notes: readonly string[],
): Promise<void> {
  const view = viewCautions(board);
  const { showPages } = await import('./guided/pager.ts');
  await showPages(
    context,
    (style) => [
      ...cautionLines(view, style),
      '',
      ...notes.flatMap((note) => wrap(note, style.width)),
    ],
    'Enter: go on',
  );
}
