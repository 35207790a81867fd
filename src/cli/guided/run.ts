import type { MeterFeed } from '../../bench/meter/feed.ts';
import { InputError } from '../../board/diagnostic.ts';
import type { Meter } from '../../circuit/meter.ts';
import { mayBeUnderPower } from '../../job/under-power.ts';
import { openBoard } from '../boards.ts';
import type { Context } from '../context.ts';
import { EXIT, isInterrupt } from '../exit.ts';
import { handInSignedOff } from '../hand-in.ts';
import { newJobWork, openJobWork } from '../jobs.ts';
import { cautionAtTerminal, LIVE_CAUTION, warnOf } from '../opening.ts';
import { saySentence } from '../print.ts';
import type { Work } from '../work.ts';
import { type Choice, choose } from './choose.ts';
import { personPlayer } from './player.ts';
import { runSession } from './session.ts';

/** What the guided run was called with. */
export interface GuidedCall {
  /** The job; chosen from a list when left out. */
  readonly job?: string;
  /** Where a meter answers by itself: `tcp://HOST`, `lines:FILE` or `-`. */
  readonly link?: string;
  /** The figures of the meter, for a job that is opened. */
  readonly figures?: Meter;
}

/** The guided run: choose a board or an open job, then go through it step by step. */
export async function runGuided(context: Context, call: GuidedCall = {}): Promise<number> {
  if (call.link === undefined) return await runAt(context, call);
  const { linkMeter } = await import('../listening/meter-link.ts');
  const linked = await linkMeter(context, call.link);
  try {
    return await runAt(linked.context, call, linked.feed);
  } finally {
    linked.feed.close();
    // Keys that came from a terminal of their own keep it open.
    if (linked.context.stdin !== context.stdin) linked.context.stdin.destroy();
  }
}

async function runAt(context: Context, call: GuidedCall, feed?: MeterFeed): Promise<number> {
  refuseWithoutTerminal(context);
  const choice: Choice =
    call.job === undefined ? await choose(context) : { kind: 'job', path: call.job };
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
          call.figures,
        );
  return await guideThrough(context, work, feed);
}

function refuseWithoutTerminal({ stdin, stderr }: Context): void {
  if (stdin.isTTY === true && stderr.isTTY === true) return;
  throw new InputError([
    {
      code: 'USAGE',
      severity: 'error',
      message: 'the guided run needs a terminal',
      hint: 'elsewhere: trace-short next JOB, and trace-short log JOB SAY',
    },
  ]);
}

async function resume(context: Context, path: string): Promise<Work> {
  const { work, read } = await openJobWork(context, path);
  warnOf(context, read);
  return work;
}

/** Shows the cautions, waits until they were read, and leads through the job. */
async function guideThrough(
  context: Context,
  work: Work,
  feed: MeterFeed | undefined,
): Promise<number> {
  try {
    const isLive = mayBeUnderPower(work.derived);
    const note = isLive ? LIVE_CAUTION : 'Go on when the board was measured discharged.';
    await cautionAtTerminal(context, work.board, [note]);
    const wasSignedOff = work.derived.signOff !== undefined;
    await runSession(context, work, personPlayer(work.board), feed);
    if (!wasSignedOff) await handInSignedOff(context, work);
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
