import { COMMANDS } from './commands.ts';

const INTRODUCTION = `Find shorts on a cold power board: from meter readings, which parts could explain
every one of them, and what to measure or lift next for the least bench time.`;

const EXAMPLES = `Examples:
  trace-short                                    the guided run, at a terminal
  trace-short drill boards/hoist-drive.yaml      learn it on a simulated board
  trace-short board boards/hoist-drive.yaml      check a board file and sum it up
  trace-short start board.yaml -o job.yaml       open a job
  trace-short next job.yaml                      the next step
  trace-short log job.yaml "P48 GND beep"        record a reading, a lift, a look
  trace-short why job.yaml P48 GND               what still conducts, part by part
  trace-short check board.yaml saved.readings    for scripts: is anything shorted?`;

const ENDING = `Exit codes: 0 clear or done, 1 a short or a difference found, 2 bad input or usage,
3 the readings contradict each other, 70 a fault of trace-short, 130 interrupted.

trace-short works with meter readings of a cold board. It does not make the work safe:
local codes and licensed practice come first.`;

/** What `trace-short --help` prints: examples first. */
export function longHelp(): string {
  const commands = COMMANDS.map(({ name, args, summary }) =>
    row(`${name} ${args}`.trim(), summary),
  );
  const options = [
    row('--json', 'print one JSON document instead of text'),
    row('--no-color', 'no colour'),
    row('--plain', 'plain lines at a terminal, nothing drawn over: for a screen reader'),
    row('--shop FILE', "the shop's settings, or none for the defaults; see trace-short shop"),
    row('-V, --version', 'the version'),
    row('-h, --help', 'this help; after a command, help on that command'),
  ];
  return [
    INTRODUCTION,
    EXAMPLES,
    ['Commands:', ...commands].join('\n'),
    ['Options:', ...options].join('\n'),
    ENDING,
    '',
  ]
    .join('\n\n')
    .trimEnd()
    .concat('\n');
}

/** What a call without a command prints where nobody sits at a terminal. */
export function shortHelp(): string {
  return `${INTRODUCTION}\n\n${EXAMPLES}\n\nAll commands and options: trace-short --help\n`;
}

function row(left: string, right: string): string {
  const start = `  ${left}`;
  return start.length <= 26 ? start.padEnd(28) + right : `${start}\n${' '.repeat(28)}${right}`;
}
