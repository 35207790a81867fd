import { InputError } from '../../board/diagnostic.ts';
import { FINISHED, pointsText, progressText, sweepLines } from '../../report/mapping/lines.ts';
import { type SweepView, viewProgress, viewSweep } from '../../report/mapping/view.ts';
import type { Style } from '../../report/style.ts';
import { listOf } from '../../report/words.ts';
import { wrap } from '../../report/wrap.ts';
import { type Context, styleFor } from '../context.ts';
import { askKey, type KeyAnswer } from '../guided/key-prompt.ts';
import type { Desk } from '../listening/with-meter.ts';
import { wrapped } from '../listening/wrapped.ts';
import { say, saySentence } from '../print.ts';
import { lineOfKey, lineOfText } from './lines-of-keys.ts';
import type { MapWork } from './map-work.ts';

const HELP = [
  '1 to 9: the first that beeped, and goes on beeping; those before it were quiet.',
  'n: none of them. u: take back the last answer. s: the held point cannot be reached. q: stop; nothing is lost.',
  'Typed and ended with Enter: the point that beeped first; or a line of your own:',
  'A B C quiet, A B beep (A held), A B joined (seen by eye), lift L1, refit L1, skip A, ground A, name A P24, strike 12.',
];

const METER_HELP = [
  'The meter answers a step of one point by itself. Of several, it hears that one beeps, and the number key says which; that none did is said by n, or by touching the held tip twice with the other.',
];

/** Asks step after step until nothing is left to ask or the person stops; a meter answers beside the keys. */
export async function mapAtTerminal(desk: Desk, work: MapWork): Promise<void> {
  const { context, listener } = desk;
  await open(context, work);
  const wantedAt =
    listener === undefined ? undefined : (await import('./meter-answers.ts')).wantedAt;
  for (;;) {
    const style = await styleFor(context, context.stderr);
    const next = work.session.next();
    const sweep = next === undefined ? undefined : viewSweep(work.session, next);
    say(context, ['', ...stepLines(work, sweep, style)]);
    const live =
      sweep === undefined ? undefined : wantedAt && listener?.live(wantedAt(sweep, work.meter));
    const answer = await askKey(
      {
        message: messageOf(sweep, live !== undefined),
        keys: new Set(['n', 'u', 's', 'q', '?', ...digits(sweep)]),
        hint:
          sweep === undefined
            ? 'q stop, ? more'
            : `${keysText(sweep)}, n none, u back, q stop, ? more`,
        ...(live === undefined ? {} : { live: wrapped(live, style) }),
      },
      { input: context.stdin, output: context.stderr },
    );
    if (answer.kind === 'closed' || (answer.kind === 'key' && answer.key === 'q')) return;
    if (answer.kind === 'redraw') continue;
    if (answer.kind === 'key' && answer.key === '?') {
      const help = listener === undefined ? HELP : [...HELP, ...METER_HELP];
      say(
        context,
        help.flatMap((line) => wrap(line, style.width)),
      );
      continue;
    }
    await take(desk, work, sweep, answer);
  }
}

async function open(context: Context, work: MapWork): Promise<void> {
  const { session } = work;
  if (work.isResumed) return await saySentence(context, `Going on with ${work.record}.`);
  const joining = session.problem.parts.filter(({ lowOhm }) => lowOhm.length > 0);
  if (joining.length > 0) {
    const names = listOf(joining.map(({ name }) => name));
    await saySentence(
      context,
      `Both sides of ${names} beep alike. Pull fuses and links that come out by hand, and lift what you want told apart, before you begin: lift ${joining[0]?.name}.`,
    );
  }
  const { ground, points } = session.problem;
  const guess = ground === undefined ? '' : ` ${points[ground]?.name} is taken to be on it.`;
  if (session.told.ground === undefined) {
    await saySentence(context, `Is a point of ground known? Type it: ground J1.2.${guess}`);
  }
}

function stepLines(work: MapWork, sweep: SweepView | undefined, style: Style): string[] {
  const progress = progressText(viewProgress(work.session));
  const head = wrap(progress, style.width).map(style.palette.quiet);
  return sweep === undefined
    ? [...head, ...wrap(FINISHED, style.width)]
    : [...head, ...sweepLines(sweep, style)];
}

/** What a meter hears stands where the keys are told of, so with one the prompt tells of them. */
function messageOf(sweep: SweepView | undefined, isHeard: boolean): string {
  if (sweep === undefined) return 'A line, u or q:';
  return isHeard ? `Beep? ${keysText(sweep)}, n none, ? more:` : 'Beep?';
}

function digits(sweep: SweepView | undefined): string[] {
  return (sweep?.touch ?? []).map((_, at) => String(at + 1));
}

function keysText(sweep: SweepView): string {
  const count = sweep.touch.length;
  return count === 1 ? '1 it beeps' : `1–${count} the first that beeps`;
}

/** Records what a key, a line or the meter says; a line that cannot be read is told and asked for again. */
async function take(
  { context, ring }: Desk,
  work: MapWork,
  sweep: SweepView | undefined,
  answer: Exclude<KeyAnswer, { kind: 'closed' | 'redraw' }>,
): Promise<void> {
  try {
    const line = lineOf(work, sweep, answer);
    if (line === undefined) return;
    const before = work.session.conflicts.length;
    work.say([line]);
    if (answer.kind === 'heard') {
      ring('recorded');
      await saySentence(context, answer.told ?? '');
    }
    await tell(context, work, line, before);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const [first] = error.diagnostics;
    await saySentence(context, `${first?.message ?? ''}. ${first?.hint ?? ''}`.trim());
  }
}

function lineOf(
  work: MapWork,
  sweep: SweepView | undefined,
  answer: Exclude<KeyAnswer, { kind: 'closed' | 'redraw' }>,
): string | undefined {
  if (answer.kind === 'heard') return answer.lines[0];
  if (answer.kind === 'line') return lineOfText(sweep, answer.text);
  if (answer.key === 'u' && work.session.isEmpty) return undefined;
  return lineOfKey(sweep, answer.key);
}

async function tell(context: Context, work: MapWork, line: string, before: number): Promise<void> {
  const conflict = work.session.conflicts.at(-1);
  if (work.session.conflicts.length > before && conflict !== undefined) {
    const { event, points, joinedBy } = conflict;
    await saySentence(
      context,
      `Event ${event} says that ${points.join(' and ')} are apart, yet ${listOf(joinedBy)} join them. Read these again; strike N takes event N back.`,
    );
  }
  await saySentence(context, `Recorded: ${shortened(line)}`);
}

function shortened(line: string): string {
  return line
    .split(' ')
    .map((word) => (word.includes(',') ? pointsText(word.split(',')) : word))
    .join(' ');
}
