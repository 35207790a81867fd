import { fileURLToPath } from 'node:url';
import { spawn } from '@lydell/node-pty';
import { Screen } from './screen.ts';

export const BIN: string = fileURLToPath(new URL('../../bin/trace-short.js', import.meta.url));

export interface TerminalOptions {
  readonly cwd: string;
  readonly columns?: number;
  readonly rows?: number;
  readonly env?: Readonly<Record<string, string>>;
  /** Runs this in the terminal in place of the command. */
  readonly program?: readonly [string, ...string[]];
  /** A shell command whose output is the run's standard input; keys still come from the terminal. */
  readonly pipedFrom?: string;
}

/** The real command in a real pseudo-terminal. */
export interface Terminal {
  readonly screen: Screen;
  press(keys: string): void;
  /** Waits until the screen shows the pattern and has been still for a moment; gives its text. */
  shows(pattern: RegExp): Promise<string>;
  /** Waits until the screen shows another text than this and has been still for a moment. */
  changes(from: string): Promise<string>;
  /** Waits for the end; gives the exit code. */
  ends(): Promise<number>;
  /** As a window manager does. */
  resize(columns: number, rows: number): void;
  /** Sends a signal to the process in the terminal. */
  kill(signal?: string): void;
}

const PATIENCE_MS = 15_000;
const STILL_MS = 120;

export function openTerminal(args: readonly string[], options: TerminalOptions): Terminal {
  const { cwd, columns = 80, rows = 24 } = options;
  const screen = new Screen(columns, rows);
  const { NO_COLOR: _no, FORCE_COLOR: _force, CI: _ci, ...plain } = process.env;
  const env = { ...plain, TERM: 'xterm-256color', ...options.env } as Record<string, string>;
  const [program, ...words] = programOf(args, options);
  const pty = spawn(program, words, { cols: columns, rows, cwd, env });
  let lastData = Date.now();
  let exit: number | undefined;
  pty.onData((data) => {
    lastData = Date.now();
    screen.write(data);
  });
  pty.onExit(({ exitCode, signal }) => {
    exit = signal === undefined || signal === 0 ? exitCode : 128 + signal;
  });
  return {
    screen,
    press: (keys) => pty.write(keys),
    changes: (from) =>
      until(
        () => {
          const text = screen.text();
          const still = Date.now() - lastData >= STILL_MS;
          return still && text !== from && !/Working out/.test(text) ? text : undefined;
        },
        () => `the screen never changed from:\n${from}`,
      ),
    shows: (pattern) =>
      until(
        () => {
          const still = Date.now() - lastData >= STILL_MS;
          const text = screen.text();
          return still && pattern.test(text) ? text : undefined;
        },
        () => `the screen never showed ${pattern}; it shows:\n${screen.text()}`,
      ),
    ends: () =>
      until(
        () => exit,
        () => `no end; the screen shows:\n${screen.text()}`,
      ),
    resize: (width, height) => {
      screen.resize(width, height);
      pty.resize(width, height);
    },
    kill: (signal) => pty.kill(signal),
  };
}

function programOf(args: readonly string[], options: TerminalOptions): [string, ...string[]] {
  const { program, pipedFrom } = options;
  if (program !== undefined) return [...program];
  const command: [string, ...string[]] = [process.execPath, BIN, ...args];
  return pipedFrom === undefined
    ? command
    : ['sh', '-c', `(${pipedFrom}) | "$@"`, 'sh', ...command];
}

async function until<T>(look: () => T | undefined, complaint: () => string): Promise<T> {
  const deadline = Date.now() + PATIENCE_MS;
  for (;;) {
    const found = look();
    if (found !== undefined) return found;
    if (Date.now() > deadline) throw new Error(complaint());
    await new Promise((resolve) => setTimeout(resolve, 15));
  }
}
