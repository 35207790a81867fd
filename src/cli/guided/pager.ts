import type { Style } from '../../report/style.ts';
import { type Context, isPlain, styleFor } from '../context.ts';
import { shownLines } from '../shown.ts';
import { askAt } from './ask.ts';
import { clearScreen } from './screen.ts';

/** Rows the prompt of a page needs below it. */
const PROMPT_ROWS = 2;

/**
 * Shows text a screenful at a time; `x` skips the rest. All at once where nothing is drawn over.
 * @param layOut lines for a width; asked again when the terminal's size changes
 * @param ending told at the last page: what Enter does there
 */
export async function showPages(
  context: Context,
  layOut: (style: Style) => readonly string[],
  ending: string,
): Promise<void> {
  const { stderr: output } = context;
  for (let from = 0; ; ) {
    const lines = layOut(await styleFor(context, output));
    const room = Math.max(4, (output.rows ?? 24) - PROMPT_ROWS);
    const rows = isPlain(context) ? Math.max(room, lines.length) : room;
    from = Math.min(from, Math.max(0, lines.length - 1));
    clearScreen(context);
    output.write(`${shownLines(context, output, lines.slice(from, from + rows))}\n`);
    const isLast = from + rows >= lines.length;
    const message = isLast ? ending : 'Enter: more   x: skip';
    const keys = new Set(isLast ? [] : ['x']);
    const answer = await askAt(context, { message, keys, hint: '' });
    if (answer.kind === 'redraw') continue;
    if (isLast || answer.kind !== 'line') return;
    from += rows;
  }
}
