import { type Context, isPlain } from '../context.ts';
import { endOnSignals } from '../signals.ts';
import type { KeyAnswer, KeyQuestion } from './key-prompt.ts';

/**
 * Asks for one key or one line at the terminal.
 * @throws {ExitPromptError} on Ctrl-C
 */
export async function askAt(context: Context, question: KeyQuestion): Promise<KeyAnswer> {
  const { stdin: input, stderr: output } = context;
  endOnSignals();
  if (input.readableEnded || input.destroyed) return { kind: 'closed' };
  if (isPlain(context)) {
    const { askPlain } = await import('./plain-prompt.ts');
    return await askPlain(question, { input, output });
  }
  const { askKey } = await import('./key-prompt.ts');
  return await askKey(question, { input, output });
}
