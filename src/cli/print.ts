import { wrap } from '../report/wrap.ts';
import { type CommandResult, type Context, styleFor } from './context.ts';
import { shownJson, shownLines } from './shown.ts';

/** Prints what a command found; gives its exit code. */
export async function printResult(
  context: Context,
  name: string,
  result: CommandResult,
): Promise<number> {
  if (context.json && result.document !== undefined) {
    printDocument(context, result.name ?? name, result.document);
  } else {
    const lines = result.text(await styleFor(context, context.stdout));
    if (lines.length > 0) context.stdout.write(`${shownLines(context, context.stdout, lines)}\n`);
  }
  return result.exit;
}

/** One document, one line of schema name first, so that a reader can tell what it holds. */
export function printDocument(
  context: Context,
  name: string,
  document: Readonly<Record<string, unknown>>,
): void {
  const full = { schema: `trace-short/${name}/1`, ...document };
  context.stdout.write(`${shownJson(full)}\n`);
}

/** Says something beside the result: cautions, warnings, progress. */
export function say(context: Context, lines: readonly string[]): void {
  if (lines.length > 0) context.stderr.write(`${shownLines(context, context.stderr, lines)}\n`);
}

/** Says a sentence beside the result, wrapped to the width of stderr. */
export async function saySentence(context: Context, text: string): Promise<void> {
  const { width } = await styleFor(context, context.stderr);
  say(context, wrap(text, width));
}
