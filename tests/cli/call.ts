import { spawnSync } from 'node:child_process';
import { BIN } from './terminal.ts';

export interface Call {
  readonly exit: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs the real command without a terminal. */
export function call(
  args: readonly string[],
  options: { cwd: string; stdin?: string; env?: Readonly<Record<string, string>> },
): Call {
  const { NO_COLOR: _no, FORCE_COLOR: _force, ...plain } = process.env;
  const done = spawnSync(process.execPath, [BIN, ...args], {
    cwd: options.cwd,
    input: options.stdin ?? '',
    // Settings of the machine the tests run on are none of theirs.
    env: { ...plain, TRACE_SHORT_SHOP: 'none', ...options.env },
    encoding: 'utf8',
  });
  return { exit: done.status, stdout: done.stdout, stderr: done.stderr };
}
