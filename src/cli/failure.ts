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
  const message = error.message.replace(/^error: /, '').trim();
  const name = commandIn(words);
  if (context.json) {
    const diagnostic: Diagnostic = { code: 'USAGE', severity: 'error', message };
    printDocument(context, name, errorDocument(EXIT.badInput, [diagnostic]));
  } else {
    const help = name === 'usage' ? 'trace-short --help' : `trace-short ${name} --help`;
    context.stderr.write(`error[USAGE] ${message}\n  see ${help}\n`);
  }
  return EXIT.badInput;
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
