import type { Context } from '../context.ts';
import { askKey } from './key-prompt.ts';
import { clearScreen } from './screen.ts';

/** Rows the prompt of a page needs below it. */
const PROMPT_ROWS = 2;

/**
 * Shows text a screenful at a time; `x` skips the rest.
 * @param ending told at the last page: what Enter does there
 */
export async function showPages(
  context: Context,
  lines: readonly string[],
  ending: string,
): Promise<void> {
  const { stdin: input, stderr: output, env } = context;
  const rows = Math.max(4, (output.rows ?? 24) - PROMPT_ROWS);
  for (let from = 0; from < lines.length; from += rows) {
    clearScreen(output, env);
    output.write(`${lines.slice(from, from + rows).join('\n')}\n`);
    const isLast = from + rows >= lines.length;
    const message = isLast ? ending : 'Enter: more   x: skip';
    const keys = new Set(isLast ? [] : ['x']);
    const answer = await askKey({ message, keys, hint: '' }, { input, output });
    if (answer.kind === 'key') return;
  }
}
