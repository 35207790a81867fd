import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { call } from './call.ts';

let outside: string;
let cwd: string;

beforeEach(() => {
  outside = mkdtempSync(join(tmpdir(), 'import-'));
  cwd = join(outside, 'deck');
  mkdirSync(join(cwd, 'lib', 'deep'), { recursive: true });
  writeFileSync(join(outside, 'secret.lib'), 'RSECRET a b 1k\n');
  writeFileSync(join(cwd, 'lib', 'own.lib'), 'R7 a b 1k\n.include deep/deeper.lib\n');
  writeFileSync(join(cwd, 'lib', 'deep', 'deeper.lib'), 'R8 a b 1k\n.include ../../top.lib\n');
  writeFileSync(join(cwd, 'top.lib'), 'R9 a b 1k\n');
  symlinkSync(join(outside, 'secret.lib'), join(cwd, 'link.lib'));
  symlinkSync(outside, join(cwd, 'away'));
  symlinkSync(join(cwd, 'lib', 'own.lib'), join(cwd, 'inner.lib'));
});

afterEach(() => rmSync(outside, { recursive: true, force: true }));

function importDeck(...cards: string[]): { yaml: string; stderr: string } {
  writeFileSync(join(cwd, 'd.cir'), ['t', 'R1 a b 1k', ...cards].join('\n'));
  const { stdout, stderr, exit } = call(['import', 'd.cir'], { cwd });
  expect(exit, stderr).toBe(0);
  return { yaml: stdout, stderr };
}

it('includes what lies in the folder of the deck and below, files by their own folders', () => {
  const { yaml, stderr } = importDeck('.include lib\\own.lib');
  for (const part of ['R1', 'R7', 'R8', 'R9']) expect(yaml).toContain(`${part}: {kind: resistor`);
  expect(stderr).not.toContain('warning');
});

it('a link within the folder is followed', () => {
  expect(importDeck('.lib inner.lib').yaml).toContain('R7:');
});

it.each([
  ['../secret.lib'],
  ['lib/../../secret.lib'],
  ['away/secret.lib'],
  ['link.lib'],
  ['"/etc/hostname"'],
])('%s is not read', (path) => {
  const { yaml, stderr } = importDeck(`.include ${path}`);
  expect(yaml).not.toContain('RSECRET');
  expect(stderr).toContain("it lies outside the deck's folder");
});

it('folders and what is not there are told of', () => {
  const { stderr } = importDeck('.include lib', '.include gone.lib');
  expect(stderr).toContain('it is no file');
  expect(stderr).toContain("there is no such file in the deck's folder");
});

it('a deck that is piped in includes nothing', () => {
  const stdin = 't\nR1 a b 1k\nR2 b a 1k\n.include top.lib\n';
  const { stdout, stderr } = call(['import', '-'], { cwd, stdin });
  expect(stdout).not.toContain('R9');
  expect(stderr).toContain('has no folder of its own');
});
