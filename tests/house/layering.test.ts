import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));
const mayImport: Readonly<Record<string, readonly string[]>> = {
  board: [],
  circuit: ['board'],
  faults: ['board', 'circuit'],
  steps: ['board', 'circuit', 'faults'],
  job: ['board', 'circuit', 'faults', 'steps'],
  bench: ['board', 'circuit', 'faults', 'steps', 'job'],
  report: ['board', 'circuit', 'faults', 'steps', 'job'],
  cli: ['board', 'circuit', 'faults', 'steps', 'job', 'bench', 'report'],
};
const layers = Object.keys(mayImport);

let scratch: string;

beforeAll(() => {
  scratch = mkdtempSync(join(tmpdir(), 'layering-'));
  cpSync(join(root, 'biome.json'), join(scratch, 'biome.json'));
  for (const layer of layers) {
    plant(`src/${layer}/seen.ts`, 'export const seen = 1;\n');
    plant(`src/${layer}/inner/own.ts`, "export { seen } from '../seen.ts';\n");
    for (const other of layers) {
      if (other === layer) continue;
      plant(`src/${layer}/to-${other}.ts`, `export { seen } from '../${other}/seen.ts';\n`);
      plant(
        `src/${layer}/inner/to-${other}.ts`,
        `export { seen } from '../../${other}/seen.ts';\n`,
      );
    }
  }
  plant('src/circuit/reads-files.ts', "export { readFileSync } from 'node:fs';\n");
  plant('src/board/loop-a.ts', "import { b } from './loop-b.ts';\nexport const a = () => b;\n");
  plant('src/board/loop-b.ts', "import { a } from './loop-a.ts';\nexport const b = () => a;\n");
});

afterAll(() => rmSync(scratch, { recursive: true, force: true }));

function plant(path: string, text: string): void {
  mkdirSync(dirname(join(scratch, path)), { recursive: true });
  writeFileSync(join(scratch, path), text);
}

/** Paths of planted files that the check refuses, for the given rule. */
function refused(rule: string): Set<string> {
  const manifest = createRequire(import.meta.url).resolve('@biomejs/biome/package.json');
  const args = [join(dirname(manifest), 'bin/biome'), 'lint', '--reporter=json'];
  const flags = ['--max-diagnostics=none', `--only=${rule}`, '.'];
  const run = spawnSync(process.execPath, [...args, ...flags], { cwd: scratch, encoding: 'utf8' });
  expect(run.status).not.toBe(0);
  const found = JSON.parse(run.stdout) as { diagnostics: { location: { path: string } }[] };
  return new Set(found.diagnostics.map((d) => d.location.path));
}

describe('imports run one way', () => {
  it('refuses every upward and sideways import and no downward one', () => {
    const found = refused('style/noRestrictedImports');
    for (const layer of layers) {
      for (const other of layers) {
        if (other === layer) continue;
        const expected = !mayImport[layer]!.includes(other);
        expect(found.has(`src/${layer}/to-${other}.ts`), `${layer} → ${other}`).toBe(expected);
        expect(found.has(`src/${layer}/inner/to-${other}.ts`), `${layer} → ${other}`).toBe(
          expected,
        );
      }
      expect(found.has(`src/${layer}/inner/own.ts`)).toBe(false);
    }
  });

  it('keeps files out of the circuit layer', () => {
    expect(refused('style/noRestrictedImports').has('src/circuit/reads-files.ts')).toBe(true);
  });

  it('refuses two files that import each other', () => {
    expect(refused('suspicious/noImportCycles').has('src/board/loop-a.ts')).toBe(true);
  });
});
