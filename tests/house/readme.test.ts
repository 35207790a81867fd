import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { COMMANDS } from '../../src/cli/commands.ts';
import { EXIT } from '../../src/cli/exit.ts';
import { parseSay } from '../../src/job/notation.ts';
import { call } from '../cli/call.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const readme = readFileSync(join(root, 'README.md'), 'utf8');

/** Blocks of code in the given language. */
function blocks(language: string): string[] {
  return [...readme.matchAll(/```(\w+)\n([\s\S]*?)```/g)]
    .filter(([, name]) => name === language)
    .map(([, , text]) => text ?? '');
}

/** The words in backquotes in the first column of the table under a heading. */
function firstColumn(heading: string): string[] {
  const part = readme.split(`## ${heading}`)[1]?.split('\n## ')[0] ?? '';
  const rows = part.split('\n').filter((line) => line.startsWith('| `'));
  return rows.flatMap((row) => {
    const [, cell = ''] = row.replaceAll('\\|', '¦').split('|');
    return [...cell.matchAll(/`([^`]*)`/g)].map(([, text]) => (text ?? '').replaceAll('¦', '|'));
  });
}

describe('the README', () => {
  it('shows a session that is what the command prints; … stands for what is left out', () => {
    const cwd = mkdtempSync(join(tmpdir(), 'readme-'));
    try {
      symlinkSync(join(root, 'boards'), join(cwd, 'boards'));
      for (const { words, output } of sessions()) {
        const got = call(words, { cwd, env: { NO_COLOR: '1' } });
        expect(got.stdout, words.join(' ')).toMatch(patternOf(output));
      }
    } finally {
      rmSync(cwd, { recursive: true, force: true });
    }
  });

  it('lists every command and none other', () => {
    const listed = firstColumn('Commands')
      .filter((text) => text !== 'trace-short')
      .map((text) => text.split(' ')[0]);
    expect(listed.sort()).toEqual(COMMANDS.map(({ name }) => name).sort());
  });

  it('names every option of each command', () => {
    const rows = firstColumn('Commands');
    for (const { name, options } of COMMANDS) {
      const row = rows.find((text) => text.split(' ')[0] === name) ?? '';
      const used = [...row.matchAll(/(?<![\w-])(--?[a-z]+)/g)].map(([, flag]) => flag);
      for (const flag of used) {
        expect(options.some(({ flags }) => flags.split(/[ ,]+/).includes(flag ?? ''))).toBe(true);
      }
    }
  });

  it('lists every exit code', () => {
    const codes = [...readme.matchAll(/^\| (\d+) +\|/gm)].map(([, code]) => Number(code));
    expect(codes).toEqual(Object.values(EXIT).sort((a, b) => a - b));
  });

  it('shows lines of the notation that can be read', () => {
    const file = 'boards/hoist-drive.yaml';
    const { board } = loadBoard(readFileSync(join(root, file), 'utf8'), file);
    const lines = firstColumn('What you type');
    expect(lines.length).toBeGreaterThan(15);
    for (const line of lines) expect(() => parseSay(board, line), line).not.toThrow();
  });

  it('shows code that runs', () => {
    const [code = ''] = blocks('js');
    const path = join(root, 'dist', `.readme-${process.pid}.mjs`);
    try {
      writeFileSync(path, code);
      const run = spawnSync(process.execPath, [path], { cwd: root, encoding: 'utf8' });
      expect(run.stderr).toBe('');
      expect(run.stdout).toMatch(/^\d+ .+/);
    } finally {
      rmSync(path, { force: true });
    }
  });

  it('shows a board file that loads without a warning', () => {
    const [yaml = ''] = blocks('yaml');
    expect(loadBoard(yaml, 'README.md').warnings).toEqual([]);
  });
});

interface Shown {
  readonly words: string[];
  readonly output: string;
}

function sessions(): Shown[] {
  return blocks('console').flatMap((block) =>
    block
      .split(/^\$ /m)
      .filter(Boolean)
      .map((text) => {
        const [line = '', ...output] = text.split('\n');
        const words = [...line.matchAll(/"([^"]*)"|(\S+)/g)].map(([, a, b]) => a ?? b ?? '');
        return { words: words.slice(1), output: output.join('\n') };
      }),
  );
}

/** `…` alone on a line stands for any lines, within a line for any text. */
function patternOf(output: string): RegExp {
  const lines = output.trimEnd().split('\n');
  const parts = lines.map((line) =>
    line === '…'
      ? '(?:.*\\n)*'
      : `${line.replace(/[.*+?^${}()|[\]\\]/g, '\\$&').replaceAll('…', '.*')}\\n`,
  );
  return new RegExp(`^${parts.join('')}`);
}
