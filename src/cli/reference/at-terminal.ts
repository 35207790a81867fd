import { InputError } from '../../board/diagnostic.ts';
import { type ReferenceProbe, referenceLine } from '../../job/reference.ts';
import { referenceLines } from '../../report/reference.ts';
import type { Style } from '../../report/style.ts';
import { styleFor } from '../context.ts';
import { askKey, type KeyAnswer, type Live } from '../guided/key-prompt.ts';
import type { Desk } from '../listening/with-meter.ts';
import { wrapped } from '../listening/wrapped.ts';
import { say, saySentence } from '../print.ts';
import type { ReferenceTable } from './table.ts';

const HINT = '470, 4.7k, 0.52, OL, then Enter; u take back, q stop';
/** What a meter hears stands where the keys are told of, so with one the prompt tells of them. */
const METER_KEYS = ' (t take what it shows, u take back, q stop)';

/** Asks for one reading after the other until all are taken or the person stops; a meter answers beside the keys. */
export async function tableAtTerminal(desk: Desk, table: ReferenceTable): Promise<void> {
  const { context, listener } = desk;
  for (let next = table.next(); next !== undefined; next = table.next()) {
    const style = await styleFor(context, context.stderr);
    say(context, ['', ...referenceLines(table.view(), style)]);
    const answer = await askKey(
      {
        message: `${next.mode === 'ohms' ? 'Ohms' : 'Volts'}${listener === undefined ? '' : METER_KEYS}:`,
        keys: new Set(listener === undefined ? ['u', 'q'] : ['u', 'q', 't']),
        hint: HINT,
        ...(await liveAt(desk, table, next, style)),
      },
      { input: context.stdin, output: context.stderr },
    );
    if (answer.kind === 'closed' || (answer.kind === 'key' && answer.key === 'q')) return;
    if (answer.kind === 'redraw') continue;
    await add(desk, table, next, answer);
  }
}

async function liveAt(
  { listener }: Desk,
  table: ReferenceTable,
  next: ReferenceProbe,
  style: Style,
): Promise<{ live?: Live }> {
  if (listener === undefined) return {};
  const { wantedFor } = await import('./meter-answers.ts');
  return { live: wrapped(listener.live(wantedFor(table, next)), style) };
}

async function add(
  desk: Desk,
  table: ReferenceTable,
  next: ReferenceProbe,
  answer: Exclude<KeyAnswer, { kind: 'closed' | 'redraw' }>,
): Promise<void> {
  try {
    const line = await lineOf(desk, table, next, answer);
    if (line === '' || (line === 'undo' && table.view().taken === 0)) return;
    table.add([line]);
    if (answer.kind === 'line' || line === 'undo') return;
    desk.ring('recorded');
    await saySentence(desk.context, `Recorded: ${line}`);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const [first] = error.diagnostics;
    await saySentence(desk.context, `${first?.message ?? ''}. ${first?.hint ?? ''}`.trim());
  }
}

async function lineOf(
  { listener }: Desk,
  table: ReferenceTable,
  next: ReferenceProbe,
  answer: Exclude<KeyAnswer, { kind: 'closed' | 'redraw' }>,
): Promise<string> {
  if (answer.kind === 'heard') return answer.lines[0] ?? '';
  if (answer.kind === 'line') return answer.text === '' ? '' : referenceLine(next, answer.text);
  if (answer.key === 'u' || listener === undefined) return 'undo';
  const { lineNow } = await import('./meter-answers.ts');
  return lineNow(listener, table, next);
}
