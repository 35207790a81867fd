import { CommanderError } from 'commander';
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import { COMMANDS } from './commands.ts';
import type { Context } from './context.ts';
import { diagnosticDocuments, printDiagnostics } from './diagnostics.ts';
import { EXIT, isInterrupt } from './exit.ts';
import { printDocument } from './print.ts';

/** Prints why a command could not go on, as text or as JSON; gives the exit code. */
export function reportFailure(error: unknown, context: Context, words: readonly string[]): number {
  if (error instanceof CommanderError) return reportUsage(error, context, words);
  if (isInterrupt(error)) return EXIT.interrupted;
  const name = commandIn(words);
  if (error instanceof InputError) {
    if (context.json) printDocument(context, name, errorDocument(EXIT.badInput, error.diagnostics));
    else printDiagnostics(context, error.diagnostics);
    return EXIT.badInput;
  }
  reportOwnFault(error, context, name);
  return EXIT.ownFault;
}

function reportUsage(error: CommanderError, context: Context, words: readonly string[]): number {
  if (error.exitCode === 0) return EXIT.ok;
  const name = commandIn(words);
  const diagnostic = usageDiagnostic(error, name);
  if (context.json) printDocument(context, name, errorDocument(EXIT.badInput, [diagnostic]));
  else printDiagnostics(context, [diagnostic]);
  return EXIT.badInput;
}

/** Commander's message in our form: its guess becomes the hint. */
function usageDiagnostic(error: CommanderError, name: string): Diagnostic {
  const help = name === 'usage' ? 'see trace-short --help' : `see trace-short ${name} --help`;
  const base = { code: 'USAGE', severity: 'error' } as const;
  if (error.code === 'commander.help') return { ...base, message: 'which command?', hint: help };
  const [message = '', ...rest] = error.message.replace(/^error: /, '').split('\n');
  const guess = /\(Did you mean (?:one of )?(.*)\?\)/.exec(rest.join(' '))?.[1];
  return { ...base, message, hint: guess === undefined ? help : `did you mean ${guess}? ${help}` };
}

function reportOwnFault(error: unknown, context: Context, name: string): void {
  const detail = error instanceof Error ? (error.stack ?? error.message) : String(error);
  if (context.json) {
    const message = error instanceof Error ? error.message : String(error);
    const diagnostic: Diagnostic = { code: 'OWN_FAULT', severity: 'error', message };
    printDocument(context, name, errorDocument(EXIT.ownFault, [diagnostic]));
  }
  context.stderr.write(
    'This is a fault in trace-short itself, not in what you gave it. What was recorded is kept.\n' +
      'Please send the lines below with the command and the files you ran it on.\n' +
      `${detail}\n`,
  );
}

function errorDocument(
  exit: number,
  diagnostics: readonly Diagnostic[],
): Readonly<Record<string, unknown>> {
  return { error: { exit, diagnostics: diagnosticDocuments(diagnostics) } };
}

/** The command a call names; `usage` when it names none we know. */
function commandIn(words: readonly string[]): string {
  const word = words.find((each) => !each.startsWith('-'));
  return COMMANDS.some(({ name }) => name === word) ? (word ?? 'usage') : 'usage';
}
