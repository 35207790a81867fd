import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { describe, expect, it } from 'vitest';
import { COMMANDS } from '../../../src/cli/commands.ts';
import { manual } from '../../../src/cli/manual/manual.ts';
import { type Block, sectionsIn } from '../../../src/cli/manual/markdown.ts';
import { topicLines } from '../../../src/cli/manual/page-lines.ts';
import { topics } from '../../../src/cli/manual/topics.ts';
import { NO_COLOUR } from '../../../src/report/style.ts';
import { openTerminal } from '../terminal.ts';

const readme = readFileSync(new URL('../../../README.md', import.meta.url), 'utf8');

/** Letters and figures alone: layout may differ, words may not. */
function wordsOf(text: string): string[] {
  return text.match(/[\p{L}\p{N}]+/gu) ?? [];
}

function textsOf(block: Block): readonly string[] {
  switch (block.kind) {
    case 'text':
      return [block.text];
    case 'list':
      return block.items;
    case 'code':
      return block.lines;
    case 'table':
      return block.rows.flat();
  }
}

describe('the pages of help', () => {
  it('are the sections of the README, each under one name that is no command', () => {
    const names = topics().map(({ name }) => name);
    const headings = readme.split('\n').filter((line) => /^##+ /.test(line));
    expect(topics().map(({ title }) => title)).toEqual(
      headings.map((line) => line.replace(/^#+ /, '')),
    );
    expect(new Set(names).size).toBe(names.length);
    const commands = COMMANDS.map(({ name }) => name).filter((name) => name !== 'help');
    expect(names.filter((name) => commands.includes(name))).toEqual([]);
  });

  it.each([50, 80, 200])(
    'leave no word of a section out at %i columns, and keep within them',
    (width) => {
      for (const topic of topics()) {
        const lines = topicLines(topic, { width, palette: NO_COLOUR });
        const told = wordsOf(lines.join(' ')).join('');
        for (const section of topic.sections) {
          const source = [section.title, ...section.blocks.flatMap(textsOf)].join(' ');
          for (const word of wordsOf(source))
            expect(told, `${topic.name}: ${word}`).toContain(word);
        }
        // Code is never broken.
        const prose = lines.filter((line) => !line.startsWith('  '));
        for (const line of prose) expect(line.length, line).toBeLessThanOrEqual(width);
      }
    },
  );

  it('take Markdown apart', () => {
    const text =
      '# T\n\nOne\ntwo `a|b`.\n\n- x\n  y\n- z\n\n| a | b |\n|---|---|\n| `p\\|q` | [r](s) |\n\n```sh\n# no heading\n\nx\n```\n## U\n';
    expect(sectionsIn(text)).toEqual([
      {
        title: 'T',
        level: 1,
        blocks: [
          { kind: 'text', text: 'One two `a|b`.' },
          { kind: 'list', items: ['x y', 'z'] },
          { kind: 'table', rows: [['`p|q`', 'r']] },
          { kind: 'code', lines: ['# no heading', '', 'x'] },
        ],
      },
      { title: 'U', level: 2, blocks: [] },
    ]);
  });

  it('go a screenful at a time at a terminal', async () => {
    const terminal = openTerminal(['help', 'notation'], { cwd: tmpdir(), rows: 24 });
    try {
      const first = await terminal.shows(/Enter: more/);
      expect(first).toContain('What you type');
      terminal.press('\r');
      await terminal.changes(first);
      terminal.press('x');
      expect(await terminal.ends()).toBe(0);
    } finally {
      terminal.kill();
    }
  });
});

describe('the manual page', () => {
  const page = manual(COMMANDS);

  it('is built into the package as it is printed', () => {
    const built = new URL('../../../dist/man/trace-short.1', import.meta.url);
    expect(readFileSync(built, 'utf8')).toBe(page);
  });

  it('holds every command, option and section', () => {
    const told = page.replaceAll('\\-', '-').replaceAll('\\e', '\\');
    for (const { name, args, options } of COMMANDS) {
      expect(told).toContain(`.B trace-short ${`${name} ${args}`.trim()}\n`);
      for (const { flags } of options) expect(told).toContain(`.B ${flags}\n`);
    }
    for (const { title } of topics()) {
      if (title !== 'Commands') expect(told.toLowerCase()).toContain(` ${title.toLowerCase()}\n`);
    }
  });

  it.skipIf(spawnSync('groff', ['--version']).status !== 0)('is well-formed for roff', () => {
    const args = ['-man', '-ww', '-z', '-Kutf8', '-Tutf8'];
    const run = spawnSync('groff', args, { input: page, encoding: 'utf8' });
    expect(run.stderr).toBe('');
    expect(run.status).toBe(0);
  });
});
