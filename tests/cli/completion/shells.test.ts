import { spawnSync } from 'node:child_process';
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { call } from '../call.ts';
import { LAMP } from '../scratch.ts';
import { BIN, openTerminal, type Terminal } from '../terminal.ts';

const cwd = mkdtempSync(join(tmpdir(), 'shells-'));

beforeAll(() => {
  writeFileSync(join(cwd, 'lamp.yaml'), LAMP);
  call(['start', 'lamp.yaml', '-o', 'job.yaml'], { cwd });
  const shim = join(cwd, 'trace-short');
  writeFileSync(shim, `#!/bin/sh\nexec "${process.execPath}" "${BIN}" "$@"\n`);
  chmodSync(shim, 0o755);
});

afterAll(() => rmSync(cwd, { recursive: true, force: true }));

interface Shell {
  readonly name: string;
  readonly args: readonly string[];
  /** Typed first, so that the script is loaded and the prompt is plain. */
  readonly begin: string;
}

const SHELLS: readonly Shell[] = [
  {
    name: 'bash',
    args: ['--norc', '--noprofile', '-i'],
    begin: `PS1='ready> '; bind 'set enable-bracketed-paste off'; eval "$(trace-short completion bash)"`,
  },
  {
    name: 'zsh',
    args: ['-f', '-i'],
    begin: `PROMPT='ready> '; RPROMPT=; autoload -U compinit; compinit -u -d zcompdump; eval "$(trace-short completion zsh)"`,
  },
];

function isThere(name: string): boolean {
  return spawnSync(name, ['--version']).status === 0;
}

async function inShell(
  { name, args, begin }: Shell,
  run: (shell: Terminal) => Promise<void>,
): Promise<void> {
  const env = {
    PATH: `${cwd}:${process.env.PATH}`,
    TRACE_SHORT_SHOP: 'none',
    HOME: cwd,
    LC_ALL: 'C.UTF-8',
  };
  const shell = openTerminal([], {
    cwd,
    env,
    columns: 120,
    rows: 40,
    program: [name, ...args],
  });
  try {
    await shell.shows(/[$%#>]\s*$/);
    shell.press(`${begin}\n`);
    await shell.shows(/ready> *$/);
    await run(shell);
  } finally {
    shell.kill();
  }
}

/** What is typed, with the keys, and what the line is then. */
const LINES: readonly [string, RegExp][] = [
  ['trace-short wor\t', /ready> trace-short worth $/],
  ['trace-short next jo\t', /ready> trace-short next job\.yaml $/],
  ['trace-short log job.yaml P24_\t', /ready> trace-short log job\.yaml P24_LAMP $/],
  ['trace-short log job.yaml P24 GA\t', /ready> trace-short log job\.yaml P24 GATE $/],
  ['trace-short log job.yaml Q1\tD\t', /ready> trace-short log job\.yaml Q1\.D $/],
  ['trace-short log job.yaml P24 GND q\t', /ready> trace-short log job\.yaml P24 GND quiet $/],
  ['trace-short log job.yaml "P24 GA\t', /ready> trace-short log job\.yaml "P24 GATE" ?$/],
  [
    'trace-short start lamp.yaml --purpose ref\t',
    /ready> trace-short start lamp\.yaml --purpose refurbish $/,
  ],
  [
    'trace-short meter low\t',
    /ready> trace-short meter (low-cost\\ handheld|'low-cost handheld') $/,
  ],
];

describe.each(SHELLS)('in $name', (shell) => {
  it.skipIf(!isThere(shell.name))(
    'completes commands, files, names of the board and the notation',
    async () => {
      await inShell(shell, async (terminal) => {
        for (const [typed, line] of LINES) {
          terminal.press(typed);
          await terminal.shows(new RegExp(line.source.replace(' $', ' *$')));
          // Away with the line.
          terminal.press('\u0015');
          await terminal.shows(/ready> *$/);
        }
      });
    },
    60_000,
  );

  it.skipIf(!isThere(shell.name))(
    'lists what there is where more fits',
    async () => {
      await inShell(shell, async (terminal) => {
        terminal.press('trace-short log job.yaml P24 GND \t\t');
        const text = await terminal.shows(/beep[\s\S]*quiet|quiet[\s\S]*beep/);
        expect(text).toContain('OL');
      });
    },
    60_000,
  );
});

describe('in fish', () => {
  const begin = `trace-short completion fish | source`;
  const env = {
    ...process.env,
    PATH: `${cwd}:${process.env.PATH}`,
    HOME: cwd,
    TRACE_SHORT_SHOP: 'none',
  };
  /** Fish tells by itself what it would offer for a line. */
  const offered = (line: string): string[] => {
    const ask = `${begin}; complete -C ${JSON.stringify(line).replaceAll('$', '\\$')}`;
    const run = spawnSync('fish', ['--no-config', '-c', ask], { cwd, env, encoding: 'utf8' });
    expect(run.stderr).toBe('');
    return run.stdout.trimEnd().split('\n');
  };

  it.skipIf(!isThere('fish'))(
    'completes commands, files, names of the board and the notation',
    () => {
      expect(offered('trace-short wor')[0]).toMatch(/^worth\t/);
      expect(offered('trace-short next jo')).toEqual(['job.yaml']);
      expect(offered('trace-short log job.yaml P24_')).toEqual(['P24_LAMP']);
      expect(offered('trace-short log job.yaml Q1.')).toEqual(['Q1.G', 'Q1.D', 'Q1.S'].sort());
      expect(offered('trace-short log job.yaml P24 GND ').sort()).toEqual(['OL', 'beep', 'quiet']);
      expect(offered('trace-short log job.yaml "P24 GA')).toEqual(['P24 GATE']);
      expect(offered('trace-short check lamp.yaml ')).toEqual(
        expect.arrayContaining(['job.yaml', 'lamp.yaml']),
      );
    },
  );
});
