import { InputError } from '../board/diagnostic.ts';
import { formatOhms } from '../board/units.ts';
import type { Meter } from '../circuit/meter.ts';
import { calibrate } from '../circuit/meter-calibration.ts';
import { readTrials } from '../circuit/meter-trials.ts';
import type { Context } from './context.ts';

type Ask = (message: string, lineOf: (answer: string) => string) => Promise<string>;

/**
 * Asks for the touches of a calibration one after the other; an empty answer goes on.
 * @returns lines as a file would hold them
 * @throws {ExitPromptError} on Ctrl-C
 */
export async function askTouches(context: Context, like: Meter): Promise<string> {
  const ask = await asker(context);
  const lines: string[] = [];
  const repeat = async (message: () => string, lineOf: (answer: string) => string) => {
    for (;;) {
      const answer = await ask(message(), lineOf);
      if (answer.trim() === '') return;
      lines.push(lineOf(answer));
    }
  };
  await repeat(
    () => `Probes held together show, in ohm${again(lines.length)}:`,
    (answer) => `leads ${answer}`,
  );
  await repeat(
    () => 'A resistor you know, and what is shown, e.g. 10 ohm shows 10.3 (Enter: go on):',
    (answer) => answer,
  );
  await repeat(
    () => `A resistor, and the beeper, e.g. 47 ohm beep${aim(lines, like)} (Enter: done):`,
    (answer) => answer,
  );
  return `${lines.join('\n')}\n`;
}

function again(count: number): string {
  return count === 0 ? ' (Enter: skip)' : ', touched anew (Enter: go on)';
}

/** Which resistor would tell most, as far as the touches have it. */
function aim(lines: readonly string[], like: Meter): string {
  try {
    const { tryNext } = calibrate(lines.join('\n'), 'touches', like);
    return tryNext === undefined ? '' : `, best one of about ${formatOhms(tryNext)}`;
  } catch (error) {
    if (error instanceof InputError) return '';
    throw error;
  }
}

/** Answers are checked as they are typed in, so that a slip is mended at once. */
async function asker(context: Context): Promise<Ask> {
  const { default: inquirer } = await import('inquirer');
  const streams = { input: context.stdin, output: context.stderr };
  const prompt = inquirer.createPromptModule(streams);
  return async (message, lineOf) => {
    const validate = (text: string): true | string => {
      if (text.trim() === '') return true;
      const [fault] = readTrials(lineOf(text), 'touches').findings.errors();
      return fault === undefined ? true : `${fault.message}. ${fault.hint ?? ''}`;
    };
    const { answer } = await prompt<{ answer: string }>([
      { type: 'input', name: 'answer', message, validate },
    ]);
    return answer;
  };
}
