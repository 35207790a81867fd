/** The guided run from its start, answered up to where a test begins. */
import { openTerminal, type Terminal, type TerminalOptions } from './terminal.ts';

/** Opens a new job on the little board and goes on to its first step. */
export async function openNewJob(
  options: TerminalOptions,
  args: readonly string[] = [],
): Promise<Terminal> {
  const opened = openTerminal(args, options);
  await opened.shows(/What is on the bench/);
  opened.press('\r');
  await opened.shows(/What is the job/);
  opened.press('\r');
  await opened.shows(/Job file to make/);
  opened.press('\r');
  await passCautions(opened);
  return opened;
}

/** What comes before the first reading: nothing known at intake, no look-over, nothing charged. */
export const BEFORE_READINGS: readonly string[] = [
  'customer said nothing',
  'arrived with nothing to note',
  'skip look-over seen before',
  'residual P24 GND 0 V',
];

/** Opens a new job and answers what is asked before the first reading. */
export async function openAtReading(
  options: TerminalOptions,
  args: readonly string[] = [],
): Promise<Terminal> {
  const run = await openNewJob(options, args);
  await run.shows(/Write down what is known/);
  run.press('0');
  await run.shows(/Look over the board/);
  run.press('skip look-over seen before\r');
  await run.shows(/Measure the voltage left/);
  run.press('z');
  await run.shows(/Probe/);
  return run;
}

/** Goes on from the cautions, one page or several, to the first step. */
export async function passCautions(opened: Terminal): Promise<void> {
  for (;;) {
    const text = await opened.shows(/Enter: (more|go on)/);
    opened.press('\r');
    if (/Enter: go on/.test(text)) break;
    await opened.shows(/Enter: go on/);
  }
  await opened.shows(/x leave/);
}

/** The points of the probe that a screen asks for. */
export function probeOn(text: string): string {
  const flat = text.replace(/\s+/g, ' ');
  const [, red, black] = /Probe (\S+) \(red\) and (\S+) \(black\)/.exec(flat) ?? [];
  return `${red} ${black}`;
}
