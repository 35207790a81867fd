import { InputError } from '../../board/diagnostic.ts';
import type { Meter } from '../../circuit/meter.ts';
import { mapLines } from '../../report/mapping/lines.ts';
import { viewMap } from '../../report/mapping/view.ts';
import { wrap } from '../../report/wrap.ts';
import type { Arguments, CommandResult, Context, Run } from '../context.ts';
import { printDiagnostics } from '../diagnostics.ts';
import { EXIT } from '../exit.ts';
import { readText } from '../files.ts';
import { atDesk, isTalk, meterWords } from '../listening/with-meter.ts';
import { cautionForMap } from '../mapping/cautions.ts';
import { type MapCall, type MapWork, openMap } from '../mapping/map-work.ts';

/** Leads through the readings that recover the nets of a known-good board. */
export const run: Run = async (context, { words, options }) => {
  const [path = '', ...says] = words;
  const { link, figures } = await meterWords(context, options);
  if (link === '-' && [path, ...says].includes('-')) throw new InputError([USED_TWICE]);
  const isLed = isTalk(context, says, link);
  const lines = await linesOf(context, path, says);
  const work = await openMap(context, callOf(path, options, figures));
  try {
    printDiagnostics(context, work.warnings);
    await cautionForMap(context, work.session.list, work.isResumed && !isLed);
    if (lines.length > 0) work.say(lines);
    if (isLed) {
      const { mapAtTerminal } = await import('../mapping/at-terminal.ts');
      await atDesk(context, link, (desk) => mapAtTerminal(desk, work));
    }
    work.write();
    return resultOf(work, String(options.out));
  } finally {
    work.close();
  }
};

function resultOf(work: MapWork, out: string): CommandResult {
  const view = viewMap(work.session);
  return {
    exit: view.conflicts.length > 0 ? EXIT.contradiction : EXIT.ok,
    document: { board: out, record: work.record, ...view },
    text: (style) => [
      ...mapLines(view, style),
      '',
      ...wrap(
        `Wrote ${out}, ${view.progress.finished ? 'finished' : 'unfinished'}; the record is ${work.record}.`,
        style.width,
      ),
    ],
  };
}

function callOf(path: string, options: Arguments['options'], meter: Meter | undefined): MapCall {
  if (typeof options.out !== 'string') {
    const hint = 'name the board file to make: trace-short map PARTS -o BOARD';
    throw new InputError([
      {
        code: 'USAGE',
        severity: 'error',
        message: 'a map needs -o BOARD; its record lies beside',
        hint,
      },
    ]);
  }
  return {
    path,
    out: options.out,
    overwrite: options.overwrite === true,
    ...(typeof options.bom === 'string' ? { bom: options.bom } : {}),
    ...(meter === undefined ? {} : { meter }),
  };
}

/** `-` reads lines from standard input; words that hold a blank are a line each. */
async function linesOf(context: Context, path: string, says: readonly string[]): Promise<string[]> {
  if (says.length === 1 && says[0] === '-') {
    if (path === '-') throw new InputError([USED_TWICE]);
    const text = await readText('-', context);
    return text
      .split(/\r?\n/)
      .map((line) => line.trim())
      .filter((line) => line !== '' && !line.startsWith('#'));
  }
  const isQuoted = says.some((say) => /\s/.test(say.trim()));
  if (says.length === 0) return [];
  return isQuoted ? says.map((say) => say.trim()) : [says.join(' ')];
}

const USED_TWICE = {
  code: 'USAGE',
  severity: 'error',
  message: 'standard input can be read only once, but "-" stands twice',
} as const;
