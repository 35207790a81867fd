import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { meterCatalogue } from '../../../src/bench/meter-catalogue.ts';
import { LINE_WORDS } from '../../../src/board/names.ts';
import { COMMANDS } from '../../../src/cli/commands.ts';
import { completionAnswer } from '../../../src/cli/completion/answer.ts';
import { candidatesFor } from '../../../src/cli/completion/candidates.ts';
import { splitLine } from '../../../src/cli/completion/split-line.ts';
import { call } from '../call.ts';
import { LAMP } from '../scratch.ts';

const cwd = mkdtempSync(join(tmpdir(), 'complete-'));
const before = process.cwd();

beforeAll(() => {
  writeFileSync(join(cwd, 'lamp.yaml'), LAMP);
  writeFileSync(join(cwd, 'not-ours.yaml'), 'a: 1\n');
  call(['start', 'lamp.yaml', '-o', 'job.yaml'], { cwd });
  process.chdir(cwd);
});

afterAll(() => {
  process.chdir(before);
  rmSync(cwd, { recursive: true, force: true });
});

function words(...line: string[]): string[] {
  return candidatesFor(line).list.map(({ word }) => word);
}

describe('what may stand next on a command line', () => {
  it('is a command, an option of it, or the value of that', () => {
    expect(words('')).toEqual(COMMANDS.map(({ name }) => name));
    expect(words('wo')).toEqual(['worth']);
    expect(words('start', 'lamp.yaml', '--pu')).toEqual(['--purpose']);
    expect(words('start', 'lamp.yaml', '--purpose', '')).toEqual(['repair', 'refurbish']);
    expect(words('board', 'lamp.yaml', '--inject', 'l')).toEqual(['lamp']);
    expect(words('--json', 'nex')).toEqual(['next']);
    expect(words('log', 'job.yaml', '--', '-')).toEqual([]);
  });

  it('is a job where a job is wanted, a board where a board is, else any file', () => {
    expect(candidatesFor(['next', ''])).toEqual({ list: [{ word: 'job.yaml' }], also: 'folders' });
    expect(words('start', './l')).toEqual(['./lamp.yaml']);
    expect(candidatesFor(['next', 'zz'])).toEqual({ list: [], also: 'files' });
    expect(candidatesFor(['jobs', ''])).toEqual({ list: [], also: 'folders' });
  });

  it('is a meter by the names of the catalogue', () => {
    expect(words('meter', '')).toEqual([...meterCatalogue().keys()]);
    expect(words('start', 'lamp.yaml', '--meter', 'low')).toEqual(['low-cost handheld']);
  });

  it('is a part or net that was seen in the job, until that is taken back', () => {
    call(['start', 'lamp.yaml', '-o', 'seen.yaml'], { cwd });
    call(['log', 'seen.yaml', 'W5 joins P24 and new P24B'], { cwd });
    expect(words('log', 'seen.yaml', 'P24')).toEqual(['P24', 'P24_LAMP', 'P24B']);
    expect(words('log', 'seen.yaml', 'W5')).toEqual(['W5.']);
    expect(words('log', 'job.yaml', 'P24')).toEqual(['P24', 'P24_LAMP']);
    call(['log', 'seen.yaml', 'undo'], { cwd });
    expect(words('log', 'seen.yaml', 'P24')).toEqual(['P24', 'P24_LAMP']);
    rmSync(join(cwd, 'seen.yaml'));
  });

  it('is a point, and then what the notation takes', () => {
    expect(words('log', 'job.yaml', 'P24')).toEqual(['P24', 'P24_LAMP']);
    expect(words('log', 'job.yaml', 'Q1')).toEqual(['Q1.']);
    expect(words('log', 'job.yaml', 'Q1.')).toEqual(['Q1.G', 'Q1.D', 'Q1.S']);
    expect(words('log', 'job.yaml', 'P24', 'GND', '')).toEqual(['beep', 'quiet', 'OL']);
    expect(words('log', 'job.yaml', 'P24', 'GND', '0.4', 'm')).toEqual(['mohm', 'mV']);
    expect(words('log', 'job.yaml', 'remove', 'Q1', 'Q')).toEqual(['Q1', 'Q2']);
    expect(words('log', 'job.yaml', 'off', 'Q1:', '')).toEqual(['G', 'D', 'S']);
    expect(words('log', 'job.yaml', 'look', 'Q1', 'lo')).toEqual(['looks']);
    expect(words('log', 'job.yaml', 'look', 'Q1', 'looks', '')).toEqual(['sound']);
    expect(words('log', 'job.yaml', 'draws', 'l')).toEqual(['lamp']);
    expect(words('log', 'job.yaml', 'note', 'anything', '')).toEqual([]);
    expect(words('log', 'job.yaml', '')).toEqual(expect.arrayContaining([...LINE_WORDS]));
    expect(words('why', 'job.yaml', 'P24', 'GA')).toEqual(['GATE']);
  });

  it('goes on inside a quoted line, and before another one', () => {
    expect(words('log', 'job.yaml', 'P24 GA')).toEqual(['P24 GATE']);
    expect(words('log', 'job.yaml', 'P24 GND beep', 'lift W')).toEqual(['lift W1']);
  });

  it('takes the letters in any case where none fits as typed', () => {
    expect(words('log', 'job.yaml', 'p24_')).toEqual(['P24_LAMP']);
  });

  it('is nothing, and no error, for a job that is not there or broken', () => {
    expect(words('log', 'nowhere.yaml', 'P')).toEqual(['photo', 'powered', 'power', 'pass']);
    writeFileSync(join(cwd, 'half.yaml'), '- {n: 1, at: x, open: {file: "la');
    expect(words('why', 'half.yaml', 'P')).toEqual([]);
  });

  it('reads a line as a shell would', () => {
    expect(splitLine('trace-short log a\\ b "P48 G').words).toEqual([
      'trace-short',
      'log',
      'a b',
      'P48 G',
    ]);
    expect(splitLine(`x 'it''s' "a\\"b" `).words).toEqual(['x', 'its', 'a"b', '']);
    expect(splitLine('x "a b').quote).toBe('"');
  });

  it('leaves to bash what stands before its own marks, and quotes what it would take apart', () => {
    writeFileSync(
      join(cwd, 'odd.yaml'),
      'board: Odd\nparts:\n  R1: {kind: resistor, ohms: 1, pins: ["N:A$1", "N:B"]}\n',
    );
    call(['start', 'odd.yaml', '-o', 'odd-job.yaml'], { cwd });
    const answer = (line: string, piece: string): string =>
      completionAnswer(['bash', `trace-short ${line}`, piece]);
    expect(answer('log odd-job.yaml N:', ':')).toBe(':A\\$1\n:B\n');
    expect(answer('log odd-job.yaml N:A', 'A')).toBe('A\\$1\n');
    expect(answer('log odd-job.yaml "N:A', 'A')).toBe('A\\$1\n');
    expect(answer("log odd-job.yaml 'N:A", 'A')).toBe('A$1\n');
    expect(answer('meter be', 'be')).toContain('bench\\ meter\n');
  });
});
