import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openJob } from '../../src/job/record.ts';
import { call } from './call.ts';
import { scratchFolder } from './scratch.ts';
import { BIN } from './terminal.ts';

let folder: ReturnType<typeof scratchFolder>;

beforeEach(() => {
  folder = scratchFolder();
});
afterEach(() => folder.remove());

/** Runs a line of shell in which `ts` is the command. */
function shell(line: string): {
  readonly exit: number | null;
  readonly stdout: string;
  readonly stderr: string;
} {
  const script = `set -o pipefail; ts() { "${process.execPath}" "${BIN}" "$@"; }; ${line}`;
  const { NO_COLOR: _no, FORCE_COLOR: _force, ...plain } = process.env;
  const env = { ...plain, NO_COLOR: '1', TRACE_SHORT_SHOP: 'none' };
  const done = spawnSync('bash', ['-c', script], { cwd: folder.cwd, env, encoding: 'utf8' });
  return { exit: done.status, stdout: done.stdout, stderr: done.stderr };
}

/** A stack, or the words of a fault of our own. */
const OWN_FAULT = /\n\s+at .*:\d+|fault in trace-short/;

function startJob(): void {
  expect(call(['start', 'lamp.yaml', '-o', 'job.yaml'], { cwd: folder.cwd }).exit).toBe(0);
}

describe('a reader that stops reading', () => {
  it.each([
    'board lamp.yaml --json',
    'next job.yaml --json',
    'why job.yaml',
    'sheet job.yaml',
    'drill lamp.yaml --auto --json',
    '--help',
  ])('ends %s quietly', (args) => {
    startJob();
    const { exit, stderr } = shell(`ts ${args} | head -c 1 >/dev/null`);
    expect(exit).toBe(0);
    expect(stderr).not.toMatch(OWN_FAULT);
  });

  it('does not keep a line from being recorded', () => {
    startJob();
    shell('ts log job.yaml "note kept" | true');
    expect(openJob(join(folder.cwd, 'job.yaml')).events.map(({ say }) => say)).toEqual([
      'note kept',
    ]);
  });
});

describe('streams that cannot be used', () => {
  it('full: says so in one line, and that what was recorded is kept', () => {
    startJob();
    const { exit, stderr } = shell('ts log job.yaml "note kept" >/dev/full');
    expect(exit).toBe(2);
    expect(stderr).toMatch(/cannot write to standard output: the disk is full/);
    expect(stderr).not.toMatch(OWN_FAULT);
    expect(openJob(join(folder.cwd, 'job.yaml')).events).toHaveLength(1);
  });

  it.each(['>&-', '2>&-', '2>/dev/full', '>&- 2>&-'])('%s does no harm to the record', (to) => {
    startJob();
    const { stderr } = shell(`ts log job.yaml "note kept" ${to}`);
    expect(stderr).not.toMatch(OWN_FAULT);
    expect(openJob(join(folder.cwd, 'job.yaml')).events).toHaveLength(1);
  });

  it('no standard input is an empty one', () => {
    const { exit, stderr } = shell('ts check lamp.yaml - <&-');
    expect(stderr).toMatch(/holds no reading/);
    expect(exit).toBe(0);
    expect(shell('ts <&-').stdout).toMatch(/^Find shorts on a cold power board/);
    expect(shell('ts drill lamp.yaml <&- >/dev/null').exit).toBe(0);
  });
});

describe('signals', () => {
  it.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)('%s ends a call at its work', async (name) => {
    const board = join(BIN, '../../boards/hoist-drive.yaml');
    const words = [BIN, 'drill', board, '--auto', '--faults', '4'];
    const run = spawn(process.execPath, words, {
      cwd: folder.cwd,
      stdio: ['ignore', 'pipe', 'ignore'],
    });
    await once(run.stdout, 'data');
    run.kill(name);
    const [, signal] = (await once(run, 'exit')) as [number | null, string | null];
    expect(signal).toBe(name);
  });
});
