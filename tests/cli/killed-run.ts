/** A guided run that a script answers, and that is killed at a random moment. */
import { spawn } from '@lydell/node-pty';
import { BIN } from './terminal.ts';

/** What a killed run had shown by then. */
export interface KilledRun {
  /** Everything it wrote. */
  readonly output: string;
  /** Lines that the screen said were recorded, in order: `P24 GND quiet`. */
  readonly acknowledged: readonly string[];
  /** The step it opened at: the points of its first probe; undefined when it was killed before. */
  readonly firstProbe: string | undefined;
}

/** When a run is killed: some ms after its start, or after so many answers were given. */
export type Moment =
  | { readonly afterMs: number }
  | { readonly answers: number; readonly thenMs: number };

/** Any of these may be answered at any prompt; `q` and `b` answer without Enter. */
const ANSWERS = ['q', 'b', 'note a look at it\r', '470 ohm\r', 'P24_LAMP GND quiet\r', 'u'];

const PROMPT = /(?:^|\n)> $/;
/** A line that was refused, put back to be mended. */
const MENDING = /\n> [^\n]+$/;
/** A run that is still there by then has nothing left to be asked, ms. */
const LONGEST_MS = 8_000;

/**
 * Goes on with the first job in the folder, answers what is asked, and kills the process with SIGKILL.
 * @param random 0–1
 */
export function killedRun(cwd: string, moment: Moment, random: () => number): Promise<KilledRun> {
  return new Promise((resolve) => {
    const env = { ...process.env, TERM: 'dumb', TRACE_SHORT_SHOP: 'none' } as Record<
      string,
      string
    >;
    const pty = spawn(process.execPath, [BIN], { cols: 80, rows: 60, cwd, env });
    let output = '';
    let seen = 0;
    let given = 0;
    const kill = (): void => pty.kill('SIGKILL');
    const last = setTimeout(kill, 'afterMs' in moment ? moment.afterMs : LONGEST_MS);
    pty.onData((data) => {
      output += data.replaceAll('\r', '');
      const fresh = output.slice(seen);
      if (/Number \(Enter: 1\) $|Enter: (?:go on|more.*) $/.test(fresh)) {
        seen = output.length;
        pty.write('\r');
      } else if (MENDING.test(fresh)) {
        seen = output.length;
        pty.write('\u0015');
      } else if (PROMPT.test(fresh)) {
        seen = output.length;
        if ('answers' in moment && given === moment.answers) setTimeout(kill, moment.thenMs);
        given += 1;
        pty.write(ANSWERS[Math.floor(random() * ANSWERS.length)] ?? 'q');
      }
    });
    pty.onExit(() => {
      clearTimeout(last);
      resolve({ output, acknowledged: recordedIn(output), firstProbe: probeIn(output) });
    });
  });
}

/** Numbered lines that a screen shows of what was recorded; one that was cut short counts for nothing. */
function recordedIn(output: string): string[] {
  return [...output.matchAll(/^ {0,3}\d+ {2}(\S.*)\n/gm)].map(([, said]) => said ?? '');
}

function probeIn(output: string): string | undefined {
  const flat = output.replace(/\s+/g, ' ');
  const [, red, black] = /Probe (\S+) \(red\) and (\S+) \(black\)/.exec(flat) ?? [];
  return red === undefined ? undefined : `${red} ${black}`;
}
