import type { Board } from '../../board/model.ts';
import { printDuration, scanDuration } from '../../job/duration.ts';
import { splitWords } from '../../job/words.ts';
import { isOn, type SoakView, viewSoak } from '../../report/soak.ts';
import type { CommandResult, Context } from '../context.ts';
import { powerPlanOf } from '../engine.ts';
import { isInterrupt } from '../exit.ts';
import { type ReadJob, readJob } from '../jobs.ts';
import { saySentence } from '../print.ts';
import { askAtSoak, fileDesk } from './desk.ts';
import { watchSoak } from './live.ts';
import { refused, resultOf, startSoak } from './outcome.ts';

/** What the soak command was called with, and the job as it was read. */
export interface SoakCall {
  readonly path: string;
  readonly boardPath: string | undefined;
  readonly read: ReadJob;
  /** Set when a new soak was asked for. */
  readonly seconds: number | undefined;
  /** Why none may begin. */
  readonly blocked: readonly string[];
}

/** Starts a soak where asked to or where none runs, and shows it until it ends or is left. */
export async function soakAtTerminal(context: Context, call: SoakCall): Promise<CommandResult> {
  const { path, boardPath, read } = call;
  const { board, derived } = read;
  const { soak } = read.inForce.shop.thresholds;
  const every = soak.observeEvery * 60;
  const before = viewSoak(board, powerPlanOf(board), derived, { nowMs: Date.now(), every });
  const wasOn = isOn(before);
  if (wasOn && call.seconds !== undefined) {
    await saySentence(
      context,
      'A soak is on already; it is gone on with. To begin anew, stop it first.',
    );
  }
  if (!wasOn && before.state === 'passed' && call.seconds === undefined)
    return resultOf(path, before);
  if (!wasOn) {
    if (call.blocked.length > 0) return refused(path, before, call.blocked);
    const seconds = call.seconds ?? (await askTime(context, board, soak.minutes * 60));
    if (seconds === undefined) return resultOf(path, before);
    await startSoak(context, path, boardPath, seconds);
  }
  const now = await readJob(context, path, boardPath);
  const desk = await fileDesk(context, now.board, { path, boardPath, every });
  try {
    if ((await watchSoak(desk)) === 'left') await tellItGoesOn(context, path, desk.view());
  } catch (error) {
    if (isInterrupt(error)) await tellItGoesOn(context, path, desk.view());
    throw error;
  }
  return resultOf(path, desk.view());
}

async function tellItGoesOn(context: Context, path: string, view: SoakView): Promise<void> {
  const done = `${Math.floor(view.elapsed / 60)} of ${Math.round(view.seconds / 60)} min`;
  await saySentence(
    context,
    `The soak goes on in the record, ${done} so far; the board is still under power: do not leave it unwatched. Back: trace-short soak ${path}`,
  );
}

/** Asks how long it is to run; undefined when the person leaves. */
async function askTime(context: Context, board: Board, usual: number): Promise<number | undefined> {
  for (let note = ''; ; ) {
    const answer = await askAtSoak(
      {
        keys: new Set(['x']),
        isOver: () => false,
        show: () => ({
          lines: [
            ...(note === '' ? [] : [note]),
            `Soak of ${board.name}. Power on, source and clips as in the last stage of power-up.`,
          ],
          message: `How long? (Enter: ${printDuration(usual)}, x: leave)`,
        }),
      },
      context,
    );
    if (answer.kind === 'redraw') continue;
    if (answer.kind !== 'line') return undefined;
    if (answer.text === '') return usual;
    try {
      const { text } = answer;
      return scanDuration({ text, place: { file: 'typed', line: 1 } }, splitWords(text));
    } catch {
      note = `"${answer.text}" is no time: write 60 min, 2 h or 1 h 30 min.`;
    }
  }
}
