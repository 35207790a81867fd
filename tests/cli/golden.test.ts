import {
  cpSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { call } from './call.ts';
import { LAMP } from './scratch.ts';

/**
 * A folder per case: `case.json` says what is run and what exit code is due, `stdout.txt` and
 * `stderr.txt` what it prints; any other file is copied into the folder the command runs in, beside
 * the lamp driver of the tests and the ready boards.
 * `UPDATE_GOLDEN=1` writes the texts anew.
 */
interface GoldenCase {
  /** Calls made in turn; only what the last one prints is compared. */
  readonly calls: readonly (readonly string[])[];
  readonly stdin?: string;
  readonly exit: number;
  readonly env?: Readonly<Record<string, string>>;
}

const CASES = fileURLToPath(new URL('./cases', import.meta.url));
const BOARDS = fileURLToPath(new URL('../../boards', import.meta.url));
const OWN_FILES = ['case.json', 'stdout.txt', 'stderr.txt'];

describe('what the command prints', () => {
  it.each(readdirSync(CASES))('%s', (name) => {
    const folder = join(CASES, name);
    const wanted = JSON.parse(readFileSync(join(folder, 'case.json'), 'utf8')) as GoldenCase;
    const cwd = mkdtempSync(join(tmpdir(), 'golden-'));
    try {
      writeFileSync(join(cwd, 'lamp.yaml'), LAMP);
      symlinkSync(BOARDS, join(cwd, 'boards'));
      for (const file of readdirSync(folder)) {
        if (!OWN_FILES.includes(file)) cpSync(join(folder, file), join(cwd, file));
      }
      const last = wanted.calls.at(-1) ?? [];
      for (const args of wanted.calls.slice(0, -1)) call(args, { cwd });
      const { stdin = '', env = {} } = wanted;
      const got = call(last, { cwd, stdin, env: { NO_COLOR: '1', ...env } });
      expect(got.exit, got.stderr).toBe(wanted.exit);
      compare(join(folder, 'stdout.txt'), got.stdout);
      compare(join(folder, 'stderr.txt'), got.stderr);
    } finally {
      rmSync(cwd, { recursive: true, force: true });
    }
  });
});

function compare(path: string, text: string): void {
  if (process.env.UPDATE_GOLDEN === '1') {
    if (text === '') rmSync(path, { force: true });
    else writeFileSync(path, text);
  }
  expect(text).toBe(existsSync(path) ? readFileSync(path, 'utf8') : '');
}
