import { InputError } from '../../board/diagnostic.ts';
import { referenceLine } from '../../job/reference.ts';
import { referenceLines } from '../../report/reference.ts';
import { type Context, styleFor } from '../context.ts';
import { askKey } from '../guided/key-prompt.ts';
import { say, saySentence } from '../print.ts';
import type { ReferenceTable } from './table.ts';

const HINT = '470, 4.7k, 0.52, OL, then Enter; u take back, q stop';

/** Asks for one reading after the other until all are taken or the person stops. */
export async function tableAtTerminal(context: Context, table: ReferenceTable): Promise<void> {
  for (let next = table.next(); next !== undefined; next = table.next()) {
    const style = await styleFor(context, context.stderr);
    say(context, ['', ...referenceLines(table.view(), style)]);
    const answer = await askKey(
      {
        message: next.mode === 'ohms' ? 'Ohms:' : 'Volts:',
        keys: new Set(['u', 'q']),
        hint: HINT,
      },
      { input: context.stdin, output: context.stderr },
    );
    if (answer.kind === 'closed' || (answer.kind === 'key' && answer.key === 'q')) return;
    if (answer.kind === 'redraw' || answer.kind === 'heard') continue;
    const text = answer.kind === 'key' ? 'undo' : answer.text;
    if (text === '' || (text === 'undo' && table.view().taken === 0)) continue;
    await add(context, table, text === 'undo' ? text : referenceLine(next, text));
  }
}

async function add(context: Context, table: ReferenceTable, line: string): Promise<void> {
  try {
    table.add([line]);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const [first] = error.diagnostics;
    await saySentence(context, `${first?.message ?? ''}. ${first?.hint ?? ''}`.trim());
  }
}
