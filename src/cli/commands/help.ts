import { InputError } from '../../board/diagnostic.ts';
import { nearest } from '../../board/nearest.ts';
import type { Style } from '../../report/style.ts';
import { labelled, wrap } from '../../report/wrap.ts';
import type { CommandSpec } from '../commands.ts';
import type { CommandResult, Context, Run } from '../context.ts';
import { EXIT } from '../exit.ts';
import { topicLines } from '../manual/page-lines.ts';
import { type Topic, topics } from '../manual/topics.ts';

/** A page of the manual, the list of them, or the whole as a manual page. */
export function helpOn(commands: readonly CommandSpec[]): Run {
  return async (context, { words, options }) => {
    const [name] = words;
    if (options.man === true) return await wholeManual(commands);
    if (name === undefined) return { ...plain(listOf), document: { topics: topics().map(bare) } };
    const topic = topics().find((each) => each.name === name.toLowerCase());
    if (topic === undefined) return refuse(name, commands);
    const { title, sections } = topic;
    return await paged(context, {
      ...plain((style) => topicLines(topic, style)),
      document: { topic: topic.name, title, sections },
    });
  };
}

async function wholeManual(commands: readonly CommandSpec[]): Promise<CommandResult> {
  const { manual } = await import('../manual/manual.ts');
  const page = manual(commands);
  return { ...plain(() => page.trimEnd().split('\n')), document: { page } };
}

function plain(text: CommandResult['text']): CommandResult {
  return { exit: EXIT.ok, text };
}

function bare({ name, title }: Topic): { topic: string; title: string } {
  return { topic: name, title };
}

function listOf({ width, palette }: Style): string[] {
  return [
    palette.strong('Topics'),
    ...topics().flatMap(({ name, title }) => labelled(`  ${name}`, title, 16, width)),
    '',
    ...wrap(
      'trace-short help TOPIC shows one of them, trace-short help COMMAND what a command takes, and trace-short --help all commands.',
      width,
    ),
  ];
}

/** At a terminal that it does not fit, a page is shown a screenful at a time. */
async function paged(context: Context, result: CommandResult): Promise<CommandResult> {
  const { stdin, stdout, stderr, json } = context;
  const isManned = stdin.isTTY === true && stdout.isTTY === true && stderr.isTTY === true;
  if (json || !isManned) return result;
  const { styleFor } = await import('../context.ts');
  const lines = result.text(await styleFor(context, stdout));
  if (lines.length < (stdout.rows ?? 24)) return result;
  const { showPages } = await import('../guided/pager.ts');
  await showPages(context, result.text, 'Enter: done');
  return { ...result, text: () => [] };
}

function refuse(name: string, commands: readonly CommandSpec[]): never {
  const known = [...topics(), ...commands].map((each) => each.name);
  const word = name.toLowerCase();
  const meant = known.find((each) => each.startsWith(word)) ?? nearest(word, known);
  const hint =
    meant === undefined ? 'trace-short help lists the topics' : `did you mean "${meant}"?`;
  const message = `there is no help on "${name}"`;
  throw new InputError([{ code: 'UNKNOWN_TOPIC', severity: 'error', message, hint }]);
}
