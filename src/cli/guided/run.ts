import { mayBeUnderPower } from '../../job/under-power.ts';
import { openBoard } from '../boards.ts';
import type { Context } from '../context.ts';
import { EXIT, isInterrupt } from '../exit.ts';
import { newJobWork, openJobWork } from '../jobs.ts';
import { cautionAtTerminal, LIVE_CAUTION, warnOf } from '../opening.ts';
import { saySentence } from '../print.ts';
import type { Work } from '../work.ts';
import { choose } from './choose.ts';
import { personPlayer } from './player.ts';
import { runSession } from './session.ts';

/** The guided run: choose a board or an open job, then go through it step by step. */
export async function runGuided(context: Context): Promise<number> {
  const choice = await choose(context);
  if (choice.kind === 'leave') return EXIT.ok;
  if (choice.kind === 'drill') {
    const { playAtTerminal } = await import('../drill/at-terminal.ts');
    return await playAtTerminal(context, choice.board, { seed: randomSeed(), faults: 1 });
  }
  const work =
    choice.kind === 'job'
      ? await resume(context, choice.path)
      : await newJobWork(
          context,
          choice.job,
          (await openBoard(context, choice.board)).board,
          choice.purpose,
        );
  return await guideThrough(context, work);
}

async function resume(context: Context, path: string): Promise<Work> {
  const { work, read } = await openJobWork(context, path);
  warnOf(context, read);
  return work;
}

/** Shows the cautions, waits until they were read, and leads through the job. */
async function guideThrough(context: Context, work: Work): Promise<number> {
  try {
    const isLive = mayBeUnderPower(work.derived);
    const note = isLive ? LIVE_CAUTION : 'Go on when the board was measured discharged.';
    await cautionAtTerminal(context, work.board, [note]);
    await runSession(context, work, personPlayer(work.board));
    await saySentence(
      context,
      `Recorded in ${work.label}. Go on any time: trace-short next ${work.label}`,
    );
    return EXIT.ok;
  } catch (error) {
    if (isInterrupt(error)) {
      await saySentence(context, `Interrupted. What was recorded is in ${work.label}.`);
    }
    throw error;
  } finally {
    work.close();
  }
}

/** A drill chosen from the list differs each time; its seed is shown, so that it can be repeated. */
function randomSeed(): number {
  return Math.floor(Math.random() * 10_000);
}
