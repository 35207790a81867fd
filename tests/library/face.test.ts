import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));
const src = join(root, 'src');

/** Small helpers that a command borrows; whoever writes code has their own. */
const BORROWED: ReadonlySet<string> = new Set([
  'bench/meters-file.ts METERS_FILE',
  'board/nearest.ts nearest',
  'board/shown-text.ts harmless',
  'board/units.ts formatOhms',
  'job/duration.ts printDuration',
  'job/duration.ts scanDuration',
  'job/points.ts listed',
  'job/words.ts splitWords',
  'report/style.ts usableWidth',
  'report/words.ts counted',
  'report/words.ts minutesText',
  'report/wrap.ts GLUE',
  'report/wrap.ts labelled',
  'report/wrap.ts wrap',
]);

interface Named {
  /** From `src`. */
  readonly module: string;
  readonly name: string;
}

/** What a file imports, or exports again, by name and not as a type alone. */
function valuesIn(path: string, word: 'import' | 'export'): Named[] {
  const text = readFileSync(path, 'utf8');
  const all = text.matchAll(new RegExp(`^${word} \\{([^}]*)\\} from '(\\.[^']*)'`, 'gm'));
  return [...all].flatMap(([, names = '', from = '']) => {
    const module = resolve(dirname(path), from).slice(src.length + 1);
    const values = names
      .split(',')
      .map((each) => each.trim())
      .filter((each) => each !== '');
    return values
      .filter((each) => !each.startsWith('type '))
      .map((each) => ({ module, name: each.split(' as ')[0] ?? each }));
  });
}

function idOf({ module, name }: Named): string {
  return `${module} ${name}`;
}

const exported = [join(src, 'index.ts'), join(src, 'report', 'face.ts')].flatMap((path) =>
  valuesIn(path, 'export'),
);

describe("the library's face", () => {
  it('holds whatever the commands take from the rooms below them', () => {
    const folder = join(src, 'cli', 'commands');
    const used = readdirSync(folder).flatMap((file) => valuesIn(join(folder, file), 'import'));
    const known = new Set([...BORROWED, ...exported.map(idOf)]);
    const missing = used
      .filter(({ module }) => !module.startsWith('cli/'))
      .map(idOf)
      .filter((each) => !known.has(each));
    expect([...new Set(missing)]).toEqual([]);
  });

  it('tells of everything in it what it is', () => {
    const silent = exported.filter(({ module, name }) => {
      const text = readFileSync(join(src, module), 'utf8');
      const told = new RegExp(`\\*/\\nexport (?:function\\*?|const|class) ${name}\\b`);
      const isAgain = new RegExp(`^export \\{[^}]*\\b${name}\\b[^}]*\\} from`, 'm').test(text);
      return !told.test(text) && !isAgain;
    });
    expect(silent).toEqual([]);
  });

  it('leads a whole job from code, as the example does', () => {
    const example = join(root, 'examples', 'library-job.mjs');
    const run = spawnSync(process.execPath, [example], { cwd: root, encoding: 'utf8' });
    expect(run.stderr).toBe('');
    expect(run.status).toBe(0);
    expect(run.stdout).toMatch(/^ {2}\d+ {2}replace RT1$/m);
    expect(run.stdout).toContain('Power stage 1 of 6');
    expect(run.stdout).toMatch(/^Job sheet: /m);
  });
});
