import { InputError } from '../../board/diagnostic.ts';
import { referenceLines } from '../../report/reference.ts';
import { wrap } from '../../report/wrap.ts';
import { openBoard } from '../boards.ts';
import type { Run } from '../context.ts';
import { EXIT } from '../exit.ts';
import { atDesk, isTalk, meterWords } from '../listening/with-meter.ts';
import { caution } from '../opening.ts';
import { openReference } from '../reference/table.ts';

/** Leads through the readings of a good board that a bad one is held against. */
export const run: Run = async (context, { words, options }) => {
  const [path = '', ...says] = words;
  const out = options.out;
  if (typeof out !== 'string') throw noFile();
  const { board } = await openBoard(context, path);
  const { link, figures } = await meterWords(context, options);
  const isLed = isTalk(context, says, link);
  const table = await openReference(context, {
    board,
    path: out,
    ...(typeof options.ground === 'string' ? { ground: options.ground } : {}),
    ...(figures === undefined ? {} : { meter: figures }),
  });
  await caution(context, board, table.view().taken > 0 && !isLed ? 'short' : 'full');
  const isQuoted = says.some((say) => /\s/.test(say.trim()));
  if (says.length > 0) table.add(isQuoted ? says : [says.join(' ')]);
  if (isLed) {
    const { tableAtTerminal } = await import('../reference/at-terminal.ts');
    await atDesk(context, link, (desk) => tableAtTerminal(desk, table));
  }
  const view = table.view();
  return {
    exit: EXIT.ok,
    document: { file: out, ...view },
    text: (style) => [
      ...referenceLines(view, style),
      ...wrap(`Compare a bad board: trace-short diff ${out} READINGS --board ${path}`, style.width),
    ],
  };
};

function noFile(): InputError {
  const message = 'the readings need a file: -o FILE';
  const hint = 'trace-short reference BOARD -o good.readings';
  return new InputError([{ code: 'USAGE', severity: 'error', message, hint }]);
}
