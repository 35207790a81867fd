import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Command, InvalidArgumentError, Option } from 'commander';
import { COMMANDS, type CommandSpec, type OptionSpec } from './commands.ts';
import type { Arguments, Context } from './context.ts';
import { longHelp } from './help.ts';
import { PACKAGE_ROOT } from './package-root.ts';
import { optimiseLater } from './tiering.ts';

/** Runs one of the commands; a wrong call throws commander's own error. */
export async function runProgram(words: readonly string[], context: Context): Promise<number> {
  let exit = 0;
  const program = new Command('trace-short');
  settle(program, context);
  program.version(packageVersion(), '-V, --version').helpInformation = longHelp;
  program.helpCommand(false);
  addCommonOptions(program);
  const asked = helpAsCommander(words);
  for (const spec of specsFor(asked)) {
    program.addCommand(
      commandOf(spec, context, async (args) => {
        const { shop, ...options } = args.options;
        const inShop = typeof shop === 'string' ? { ...context, shop } : context;
        const { run } = await spec.load();
        const { printResult } = await import('./print.ts');
        if (SHORT.has(spec.name)) optimiseLater(); // packs opened after it would be compiled anew
        const result = await run(inShop, { ...args, options });
        exit = await printResult(context, spec.name, result);
      }),
    );
  }
  await program.parseAsync(asked, { from: 'user' });
  return exit;
}

/** Commands that are over at once, but for weighings that turn out long. */
const SHORT: ReadonlySet<string> = new Set([
  'board',
  'check',
  'start',
  'log',
  'next',
  'where',
  'why',
]);

/** The one command that is called, where the first word tells; else all, to choose from or to name the nearest. */
function specsFor([first]: readonly string[]): readonly CommandSpec[] {
  const named = COMMANDS.filter(({ name }) => name === first);
  return named.length > 0 ? named : COMMANDS;
}

/** `help next` is `next --help`; a topic that is no command has a page of its own. */
function helpAsCommander(words: readonly string[]): string[] {
  const [first, name = '', ...rest] = words;
  const isCommand = first === 'help' && COMMANDS.some((spec) => spec.name === name);
  return isCommand ? [name, '--help', ...rest] : [...words];
}

function commandOf(
  spec: CommandSpec,
  context: Context,
  act: (args: Arguments) => Promise<void>,
): Command {
  const command = new Command(spec.name);
  settle(command, context);
  if (spec.args !== '') command.arguments(spec.args);
  command.description(spec.summary);
  for (const option of spec.options) command.addOption(optionOf(option));
  addCommonOptions(command);
  const examples = spec.examples.map((line) => `  ${line}`).join('\n');
  command.addHelpText('before', `Examples:\n${examples}\n`);
  command.action(async () => {
    // With those given before the command's name.
    const given = command.optsWithGlobals<Arguments['options']>();
    const { json: _json, color: _color, plain: _plain, ...options } = given;
    await act({ words: command.args, options });
  });
  return command;
}

/** Errors are thrown, not printed: `failure.ts` prints them, as text or as JSON. */
function settle(command: Command, context: Context): void {
  command.exitOverride();
  command.configureOutput({
    writeOut: (text) => context.stdout.write(text),
    writeErr: () => undefined,
    getOutHelpWidth: () => 80,
  });
}

function addCommonOptions(command: Command): void {
  command.option('--json', 'print one JSON document instead of text');
  command.option('--no-color', 'no colour');
  command.option('--plain', 'plain lines at a terminal, nothing drawn over: for a screen reader');
  command.option(
    '--shop <file>',
    "the shop's settings file or database, or none; see `trace-short shop`",
  );
}

function optionOf(spec: OptionSpec): Option {
  const option = new Option(spec.flags, spec.help);
  const { wholeFrom } = spec;
  if (spec.many === true) {
    option.argParser((text, before: readonly string[] | undefined) => [...(before ?? []), text]);
  }
  if (wholeFrom !== undefined) option.argParser((text) => wholeNumber(text, wholeFrom));
  return option;
}

function wholeNumber(text: string, least: number): number {
  const value = Number(text);
  if (/^\d+$/.test(text) && Number.isSafeInteger(value) && value >= least) return value;
  throw new InvalidArgumentError(`It must be a whole number of at least ${least}.`);
}

function packageVersion(): string {
  const manifest = readFileSync(join(PACKAGE_ROOT, 'package.json'), 'utf8');
  return (JSON.parse(manifest) as { version: string }).version;
}
