import { InputError } from '../../board/diagnostic.ts';
import { FINISHED, pointsText, progressText, sweepLines } from '../../report/mapping/lines.ts';
import { viewProgress, viewSweep } from '../../report/mapping/view.ts';
import type { Style } from '../../report/style.ts';
import { listOf } from '../../report/words.ts';
import { wrap } from '../../report/wrap.ts';
import type { Sweep } from '../../steps/mapping/next-sweep.ts';
import { type Context, styleFor } from '../context.ts';
import { askKey, type KeyAnswer } from '../guided/key-prompt.ts';
import { say, saySentence } from '../print.ts';
import type { MapWork } from './map-work.ts';

const HELP = [
  '1 to 9: the first that beeped, and goes on beeping; those before it were quiet.',
  'n: none of them. u: take back the last answer. s: the held point cannot be reached. q: stop; nothing is lost.',
  'Typed and ended with Enter: the point that beeped first; or a line of your own:',
  'A B C quiet, A B beep (A held), A B joined (seen by eye), lift L1, refit L1, skip A, ground A, name A P24, strike 12.',
];

/** Asks step after step until nothing is left to ask or the person stops. */
export async function mapAtTerminal(context: Context, work: MapWork): Promise<void> {
  await open(context, work);
  for (;;) {
    const style = await styleFor(context, context.stderr);
    const sweep = work.session.next();
    say(context, ['', ...stepLines(work, sweep, style)]);
    const answer = await askKey(
      {
        message: sweep === undefined ? 'A line, u or q:' : 'Beep?',
        keys: new Set(['n', 'u', 's', 'q', '?', ...digits(sweep)]),
        hint:
          sweep === undefined
            ? 'q stop, ? more'
            : `${keysText(sweep)}, n none, u back, q stop, ? more`,
      },
      { input: context.stdin, output: context.stderr },
    );
    if (answer.kind === 'closed' || (answer.kind === 'key' && answer.key === 'q')) return;
    if (answer.kind === 'redraw' || answer.kind === 'heard') continue;
    if (answer.kind === 'key' && answer.key === '?') {
      say(
        context,
        HELP.flatMap((line) => wrap(line, style.width)),
      );
      continue;
    }
    await take(context, work, sweep, answer);
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

function stepLines(work: MapWork, sweep: Sweep | undefined, style: Style): string[] {
  const progress = progressText(viewProgress(work.session));
  const head = wrap(progress, style.width).map(style.palette.quiet);
  return sweep === undefined
    ? [...head, ...wrap(FINISHED, style.width)]
    : [...head, ...sweepLines(viewSweep(work.session, sweep), style)];
}

function digits(sweep: Sweep | undefined): string[] {
  return (sweep?.touch ?? []).map((_, at) => String(at + 1));
}

function keysText(sweep: Sweep): string {
  const count = sweep.touch.length;
  return count === 1 ? '1 it beeps' : `1–${count} the first that beeps`;
}

/** Records what a key or a line says; a line that cannot be read is told and asked for again. */
async function take(
  context: Context,
  work: MapWork,
  sweep: Sweep | undefined,
  answer: Extract<KeyAnswer, { kind: 'key' | 'line' }>,
): Promise<void> {
  try {
    const line =
      answer.kind === 'key'
        ? lineOfKey(work, sweep, answer.key)
        : lineOfText(work, sweep, answer.text);
    if (line === undefined) return;
    const before = work.session.conflicts.length;
    work.say([line]);
    await tell(context, work, line, before);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const [first] = error.diagnostics;
    await saySentence(context, `${first?.message ?? ''}. ${first?.hint ?? ''}`.trim());
  }
}

function lineOfKey(work: MapWork, sweep: Sweep | undefined, key: string): string | undefined {
  if (key === 'u') return work.session.isEmpty ? undefined : 'undo';
  if (sweep === undefined) return undefined;
  const { hold, quietLine } = viewSweep(work.session, sweep);
  if (key === 's') return `skip ${hold}`;
  if (key === 'n') return quietLine;
  return lineOf(work, sweep, Number(key) - 1);
}

/** Those before were quiet. */
function lineOf(work: MapWork, sweep: Sweep, beeped: number): string {
  const { hold, touch } = viewSweep(work.session, sweep);
  const words = touch.slice(0, beeped + 1).map(({ points }) => points.join(','));
  return [hold, ...words, 'beep'].join(' ');
}

/** A bare point that is asked for answers the step. */
function lineOfText(work: MapWork, sweep: Sweep | undefined, text: string): string | undefined {
  if (text === '') return undefined;
  if (sweep === undefined || /\s/.test(text)) return text;
  const { hold, touch } = viewSweep(work.session, sweep);
  const wanted = text.toLowerCase();
  const at = touch.findIndex(({ points }) => points.some((name) => name.toLowerCase() === wanted));
  if (at < 0) return text;
  const before = touch.slice(0, at).map(({ points }) => points.join(','));
  return [hold, ...before, text, 'beep'].join(' ');
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
