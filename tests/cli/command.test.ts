import { spawn, spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { COMMANDS } from '../../src/cli/commands.ts';
import { NODE_DESK } from '../../src/job/disk.ts';
import { closeJob, createJob, openJob } from '../../src/job/record.ts';
import { call } from './call.ts';
import { scratchFolder } from './scratch.ts';
import { BIN } from './terminal.ts';

let folder: ReturnType<typeof scratchFolder>;
beforeEach(() => {
  folder = scratchFolder();
});
afterEach(() => folder.remove());

const here = (args: readonly string[], stdin?: string) =>
  call(args, stdin === undefined ? { cwd: folder.cwd } : { cwd: folder.cwd, stdin });
const says = (job = 'job.yaml'): string[] =>
  openJob(join(folder.cwd, job)).events.map(({ say }) => say);
const startJob = (): void => {
  expect(here(['start', 'lamp.yaml', '-o', 'job.yaml']).exit).toBe(0);
};

describe('a job from the command line', () => {
  it('is opened, worked on and explained', () => {
    const opened = here(['start', 'lamp.yaml']);
    expect(opened.exit).toBe(0);
    expect(opened.stdout).toMatch(/Job opened: lamp-job.yaml \(repair\)/);
    expect(opened.stdout).toMatch(/^Next/m);
    const logged = here(['log', 'lamp-job.yaml', 'P24 GND quiet']);
    expect([0, 3]).toContain(logged.exit);
    expect(logged.stdout).toMatch(/2 {2}P24 GND quiet/);
    expect(here(['next', 'lamp-job.yaml']).exit).toBe(0);
    expect(here(['why', 'lamp-job.yaml']).exit).toBe(0);
    expect(says('lamp-job.yaml')).toEqual(['P24 GND quiet']);
  });

  it('gets a name of its own when the usual one is taken', () => {
    expect(here(['start', 'lamp.yaml']).exit).toBe(0);
    expect(here(['start', 'lamp.yaml']).stdout).toMatch(/lamp-job-2.yaml/);
  });

  it('prints the cautions on stderr whenever it is opened, and no option stops them', () => {
    for (const args of [[], ['--json'], ['--no-color']]) {
      const { stderr } = here(['start', 'lamp.yaml', ...args]);
      expect(stderr).toMatch(/Local codes and licensed practice come first/);
      expect(stderr).toMatch(/P24\/GND: 470 µF at 24 V, 135 mJ/);
    }
  });

  it('prints the cautions in full again when it was left for a while', () => {
    startJob();
    expect(here(['next', 'job.yaml']).stderr).not.toMatch(/Local codes/);
    const path = join(folder.cwd, 'lamp.yaml');
    const { board } = loadBoard(readFileSync(path, 'utf8'), 'lamp.yaml');
    const desk = { ...NODE_DESK, now: () => new Date('2020-02-02T08:00:00Z') };
    closeJob(createJob(join(folder.cwd, 'old.yaml'), board, { desk }));
    expect(here(['next', 'old.yaml']).stderr).toMatch(/Local codes/);
  });

  it('takes one line from bare words, several from quoted ones, and lines from standard input', () => {
    startJob();
    here(['log', 'job.yaml', 'P24', 'GND', 'quiet']);
    here(['log', 'job.yaml', 'lift W1', 'P24_LAMP GND 0.4 ohm']);
    here(['log', 'job.yaml', '-'], '# saved\nrefit W1\n\nnote done\n');
    expect(says()).toEqual([
      'P24 GND quiet',
      'lift W1',
      'P24_LAMP GND 0.4 ohm',
      'refit W1',
      'note done',
    ]);
  });

  it('records nothing when one of several lines cannot be read', () => {
    startJob();
    expect(here(['log', 'job.yaml', 'P24 GND quiet', 'lift W9']).exit).toBe(2);
    expect(says()).toEqual([]);
  });

  it('exits 3 when the readings contradict each other, names the one to take again, and recovers', () => {
    startJob();
    const torn = here(['log', 'job.yaml', 'P24 GND beep', 'P24_LAMP GND quiet']);
    expect(torn.exit).toBe(3);
    expect(torn.stdout).toMatch(/contradict each other/);
    expect(torn.stdout).toMatch(/Take again +reading [23],/);
    expect(here(['log', 'job.yaml', 'P24 GND quiet', 'P24 GND quiet']).exit).toBe(0);
  });

  it('goes from first reading to read clear, and then says what was read and what is left to do', () => {
    const drill = JSON.parse(here(['drill', 'lamp.yaml', '--seed', '5', '--json']).stdout);
    const said = drill.steps.flatMap((step: { said: string[] }) => step.said);
    startJob();
    here(['log', 'job.yaml', 'skip look-over seen before', 'skip touch-up new joints']);
    here(['log', 'job.yaml', '-'], `${said.join('\n')}\n`);
    expect(says().slice(2)).toEqual(said);
    const { exit, stdout } = here(['next', 'job.yaml']);
    expect(exit).toBe(0);
    expect(stdout).toMatch(/^Next {3}Power stage 1 of 1: bring up supply, lamp/);
    expect(stdout).toMatch(/- rail supply read clear/);
    expect(stdout).toMatch(/A cold reading does not show every fault/);
    expect(stdout).not.toMatch(/\bsafe\b/i);
  });

  it('finds its board when both were moved, and takes --board when only one was', () => {
    startJob();
    mkdirSync(join(folder.cwd, 'moved'));
    const moved = (file: string): string => join(folder.cwd, 'moved', file);
    copyFileSync(join(folder.cwd, 'job.yaml'), moved('job.yaml'));
    const lost = here(['next', 'moved/job.yaml']);
    expect(lost.exit).toBe(0); // still found from where the command runs
    copyFileSync(join(folder.cwd, 'lamp.yaml'), moved('lamp.yaml'));
    expect(call(['next', 'job.yaml'], { cwd: join(folder.cwd, 'moved') }).exit).toBe(0);
    writeFileSync(join(folder.cwd, 'other.yaml'), readFileSync(join(folder.cwd, 'lamp.yaml')));
    expect(here(['next', 'job.yaml', '--board', 'other.yaml']).exit).toBe(0);
  });

  it('says so when the board file has changed', () => {
    startJob();
    const path = join(folder.cwd, 'lamp.yaml');
    writeFileSync(path, `${readFileSync(path, 'utf8')}  W2: [P24, P24_LAMP]\n`);
    const { exit, stderr } = here(['next', 'job.yaml']);
    expect(exit).toBe(0);
    expect(stderr).toMatch(/BOARD_CHANGED/);
  });
});

describe('--json', () => {
  it('prints one document with its schema for every command', () => {
    startJob();
    writeFileSync(join(folder.cwd, 'a.readings'), 'P24 GND quiet\n');
    const calls: readonly (readonly string[])[] = [
      ['start', 'lamp.yaml'],
      ['next', 'job.yaml'],
      ['log', 'job.yaml', 'P24 GND quiet'],
      ['why', 'job.yaml'],
      ['why', 'job.yaml', 'P24', 'GND'],
      ['why', 'job.yaml', 'Q1'],
      ['check', 'lamp.yaml', 'a.readings'],
      ['diff', 'a.readings', 'a.readings'],
      ['drill', 'lamp.yaml'],
      ['board', 'lamp.yaml'],
    ];
    for (const args of calls) {
      const { stdout, stderr } = here([...args, '--json']);
      const document = JSON.parse(stdout || `"${stderr}"`) as { schema: string; error?: unknown };
      expect(document.schema).toBe(`trace-short/${args[0]}/1`);
      expect(document.error).toBeUndefined();
    }
  });

  it('prints one document for every command that cannot go on', () => {
    for (const { name } of COMMANDS) {
      const { exit, stdout } = here([name, 'nowhere', 'nowhere', '--json']);
      expect(exit, name).toBe(2);
      const document = JSON.parse(stdout) as { schema: string; error: { exit: number } };
      expect(document.schema).toBe(`trace-short/${name}/1`);
      expect(document.error.exit).toBe(2);
    }
  });

  it('holds no name or text of a terminal: no colour even when it is forced', () => {
    const { stdout } = call(['board', 'lamp.yaml', '--json'], {
      cwd: folder.cwd,
      env: { FORCE_COLOR: '1' },
    });
    expect(stdout).not.toContain('\u001b');
  });
});

describe('colour', () => {
  const coloured = (env: Record<string, string>, args: readonly string[] = []): boolean =>
    call(['board', 'lamp.yaml', ...args], { cwd: folder.cwd, env }).stdout.includes('\u001b[');

  it.each([
    [{}, [], false],
    [{ FORCE_COLOR: '1' }, [], true],
    [{ FORCE_COLOR: '0' }, [], false],
    [{ FORCE_COLOR: '1', NO_COLOR: '1' }, [], false],
    [{ FORCE_COLOR: '1', NO_COLOR: '' }, [], true],
    [{ FORCE_COLOR: '1' }, ['--no-color'], false],
  ])('with %o and %o: %s', (env, args, expected) => {
    expect(coloured(env as Record<string, string>, args)).toBe(expected);
  });
});

describe('the command among others', () => {
  it('ends quietly when its reader has gone', async () => {
    const child = spawn(
      'sh',
      ['-c', `"$0" "$1" board lamp.yaml --json | head -c 1`, process.execPath, BIN],
      {
        cwd: folder.cwd,
      },
    );
    let stderr = '';
    child.stderr.on('data', (data) => {
      stderr += data;
    });
    await new Promise((resolve) => child.on('close', resolve));
    expect(stderr).toBe('');
  });

  it('starts fast: help costs less than 2.5 times bare Node', () => {
    const time = (args: readonly string[]): number => {
      const times = Array.from({ length: 9 }, () => {
        const from = performance.now();
        spawnSync(process.execPath, args);
        return performance.now() - from;
      });
      return times.sort((a, b) => a - b)[4] ?? 0;
    };
    const bare = time(['-e', '']);
    expect(time([BIN, '--help']) / bare).toBeLessThan(2.5);
  });

  it('never lets a stack trace out for bad input', () => {
    for (const { name } of COMMANDS) {
      const { stderr } = here([name, 'lamp.yaml', 'lamp.yaml', '--board', 'lamp.yaml']);
      expect(stderr, name).not.toMatch(/^\s+at /m);
    }
  });

  it('writes no file it was not asked for', () => {
    here(['board', 'lamp.yaml']);
    here(['next', 'lamp.yaml']);
    expect(existsSync(join(folder.cwd, 'lamp-job.yaml'))).toBe(false);
  });
});
