/** The outside world of a soak screen: terminal, clock, and the record by its file or by an open job. */
import { statSync } from 'node:fs';
import type { Board } from '../../board/model.ts';
import { type DerivedJob, deriveJob } from '../../job/derive.ts';
import { openJob } from '../../job/record.ts';
import { viewSoak } from '../../report/soak.ts';
import { usableWidth } from '../../report/style.ts';
import { type Context, isPlain, styleFor } from '../context.ts';
import { powerPlanOf, shopOf } from '../engine.ts';
import { askAt } from '../guided/ask.ts';
import { clearScreen } from '../guided/screen.ts';
import { openJobWork } from '../jobs.ts';
import { endOnSignals } from '../signals.ts';
import { sounderFor } from '../sound.ts';
import type { RecordedLine, Work } from '../work.ts';
import { type SoakDesk, watchSoak } from './live.ts';
import { askLive, type LiveAnswer, type LiveQuestion } from './live-prompt.ts';

/** Where a job is, and how often its soak is looked at, s. */
export interface SoakFile {
  readonly path: string;
  readonly boardPath: string | undefined;
  readonly every: number;
}

/** Works on the file: the job is held only while a line is written, so that others may write too. */
export async function fileDesk(
  context: Context,
  board: Board,
  { path, boardPath, every }: SoakFile,
): Promise<SoakDesk> {
  const record = async (line: string): Promise<readonly RecordedLine[]> => {
    const { work } = await openJobWork(context, path, boardPath);
    try {
      return work.record([line]);
    } finally {
      work.close();
    }
  };
  return await deskOn(context, board, every, followed(board, path), record);
}

/** Shows the soak of a job that is open already, until it ends or is left. */
export async function watchOpenSoak(context: Context, work: Work): Promise<void> {
  const every = shopOf(work.board).thresholds.soak.observeEvery * 60;
  const record = async (line: string): Promise<readonly RecordedLine[]> => work.record([line]);
  await watchSoak(await deskOn(context, work.board, every, () => work.derived, record));
}

async function deskOn(
  context: Context,
  board: Board,
  every: number,
  job: () => DerivedJob,
  record: (line: string) => Promise<readonly RecordedLine[]>,
): Promise<SoakDesk> {
  const { stderr } = context;
  const style = await styleFor(context, stderr);
  const plan = powerPlanOf(board);
  const sounder = sounderFor(context, shopOf(board));
  return {
    board,
    style: () => ({ ...style, width: usableWidth(stderr.columns) }),
    view: () => viewSoak(board, plan, job(), { nowMs: Date.now(), every }),
    record: async (line) => (await record(line)).map(({ say }) => say).join(', '),
    ask: (question) => askAtSoak(question, context),
    ring: () => sounder.play('attention'),
    clear: () => clearScreen(context),
    rows: () => stderr.rows ?? 24,
  };
}

/** Asks below a screen that keeps its clock running; the screen once, where nothing is drawn over. */
export async function askAtSoak(question: LiveQuestion, context: Context): Promise<LiveAnswer> {
  const { stdin: input, stderr: output } = context;
  if (!isPlain(context)) {
    endOnSignals();
    return await askLive(question, { input, output });
  }
  const { keys, initial, isOver } = question;
  const { lines, message } = question.show();
  output.write(`${lines.join('\n')}\n`);
  const mended = initial === undefined ? {} : { initial };
  const answer = await askAt(context, { keys, message, hint: '', isOver, ...mended });
  // Under power no meter is listened to, so nothing but keys answers.
  if (answer.kind === 'heard') return { kind: 'line', text: '' };
  return answer.kind === 'closed' && isOver() ? { kind: 'over' } : answer;
}

/**
 * The job as its file has it, read again whenever that has grown. While another program is at it, the
 * file may be gone or cut short for a moment: then what was read last still holds.
 */
function followed(board: Board, path: string): () => DerivedJob {
  let size = -1;
  let held: DerivedJob | undefined;
  return () => {
    try {
      const now = statSync(path).size;
      if (held === undefined || now !== size) {
        held = deriveJob(board, openJob(path).events, path);
        size = now;
      }
    } catch (error) {
      if (held === undefined) throw error;
    }
    return held;
  };
}
