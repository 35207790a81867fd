import { copyFileSync, mkdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { call } from './call.ts';
import { scratchFolder } from './scratch.ts';

let scratch: ReturnType<typeof scratchFolder>;
beforeEach(() => {
  scratch = scratchFolder();
});
afterEach(() => scratch.remove());

const run = (...args: string[]) => call(args, { cwd: scratch.cwd, env: { NO_COLOR: '1' } });
const at = (...names: string[]): string => join(scratch.cwd, ...names);
const open = (job: string, ...says: string[]): void => {
  expect(run('start', 'lamp.yaml', '-o', job).exit).toBe(0);
  if (says.length > 0) expect(run('log', job, ...says).exit).toBe(0);
};
interface Row {
  readonly job: string;
  readonly stage?: string;
  readonly waitsFor: string;
  readonly heldUpBy: string;
  readonly next?: string;
}
const list = (...args: string[]): Row[] => JSON.parse(run('jobs', ...args, '--json').stdout).jobs;

it('lists what waits for a hand first, then for parts, then what is signed off', () => {
  open('a.yaml', 'sign-off returned no time');
  open('b.yaml', 'P24 GND beep', 'remove D1', 'tick D1 ordered');
  open('c.yaml', 'P24 GND beep');
  expect(list().map(({ job, waitsFor }) => [job, waitsFor])).toEqual([
    ['c.yaml', 'bench'],
    ['b.yaml', 'parts'],
    ['a.yaml', 'nothing'],
  ]);
});

it('gives the next step that `next` gives, of a few jobs unasked and of all when asked', () => {
  open('a.yaml', 'P24 GND beep');
  const { advice } = JSON.parse(run('next', 'a.yaml', '--json').stdout);
  expect(list()[0]?.next).toBe(advice.step.text);
  for (const name of ['b', 'c', 'd']) {
    writeFileSync(at(`${name}.yaml`), readFileSync(at('a.yaml')));
  }
  expect(list().map(({ next }) => next)).toEqual(Array(4).fill(undefined));
  expect(list('--steps').map(({ next }) => next)).toEqual(Array(4).fill(advice.step.text));
});

it('names a damaged job and lists the others; a torn last line costs nothing but itself', () => {
  open('whole.yaml', 'P24 GND quiet');
  const text = readFileSync(at('whole.yaml'), 'utf8');
  writeFileSync(at('changed.yaml'), text.replace('P24 GND quiet', 'P24 GND beep'));
  writeFileSync(at('torn.yaml'), text.slice(0, -20));
  writeFileSync(at('headless.yaml'), text.slice(3));
  writeFileSync(at('cut.yaml'), text.slice(0, 40));
  const { exit } = run('jobs');
  expect(exit).toBe(0);
  const rows = new Map(list().map((row) => [row.job, row]));
  expect([...rows.keys()].sort()).toEqual(['changed.yaml', 'cut.yaml', 'torn.yaml', 'whole.yaml']);
  expect(rows.get('changed.yaml')).toMatchObject({
    waitsFor: 'mending',
    heldUpBy: 'line 2: event 2 is not as it was written',
  });
  expect(rows.get('cut.yaml')).toMatchObject({ waitsFor: 'mending' });
  expect(rows.get('torn.yaml')).toMatchObject({ stage: 'intake', waitsFor: 'bench' });
});

it('names a job whose board file is gone', () => {
  mkdirSync(at('elsewhere'));
  open('a.yaml', 'P24 GND quiet');
  writeFileSync(at('elsewhere', 'a.yaml'), readFileSync(at('a.yaml')));
  const gone = call(['jobs', '.', '--json'], { cwd: at('elsewhere') });
  expect(JSON.parse(gone.stdout).jobs).toMatchObject([
    { job: 'a.yaml', board: 'Workbench lamp driver', waitsFor: 'mending' },
  ]);
});

it('looks into folders below only when asked, and not into hidden ones or round in circles', () => {
  open('a.yaml');
  const text = readFileSync(at('a.yaml'));
  for (const folder of ['below', 'below/again', '.hidden', 'node_modules']) {
    mkdirSync(at(folder));
    writeFileSync(at(folder, 'b.yaml'), text);
  }
  symlinkSync('..', at('below', 'up'));
  const names = (...args: string[]): string[] =>
    list(...args)
      .map(({ job }) => job)
      .sort();
  expect(names()).toEqual(['a.yaml']);
  expect(names('--deep')).toEqual(['a.yaml', 'below/again/b.yaml', 'below/b.yaml']);
  expect(names('below')).toEqual(['below/b.yaml']);
});

it('says so of a folder without jobs, and of one that is not there', () => {
  mkdirSync(at('empty'));
  writeFileSync(at('empty', 'notes.yaml'), 'hourly-rate: 3\n');
  expect(run('jobs', 'empty').stdout).toBe('No jobs in empty.\n');
  expect(run('jobs', 'nowhere')).toMatchObject({ exit: 2 });
});

it("adds up the time by the shop's own time away", () => {
  // Its entries follow each other after 2, 3, 2 and 4 minutes.
  copyFileSync('tests/cli/cases/jobs-listed-at-80/b.yaml', at('b.yaml'));
  const minutes = (settings: string): number => {
    writeFileSync(at('s.yaml'), settings);
    const { stdout } = run('jobs', '--json', '--shop', 's.yaml');
    return JSON.parse(stdout).jobs[0].minutes;
  };
  expect(minutes('thresholds: {away-after: 30}\n')).toBe(11);
  expect(minutes('thresholds: {away-after: 3}\n')).toBe(7);
});

it('lists the jobs beside settings that cannot be read, and tells of them once', () => {
  open('a.yaml', 'P24 GND quiet');
  writeFileSync(at('b.yaml'), readFileSync(at('a.yaml')));
  writeFileSync(at('trace-short.yaml'), 'hourly: 3\n');
  const got = call(['jobs'], { cwd: scratch.cwd, env: { TRACE_SHORT_SHOP: '' } });
  expect(got.exit).toBe(0);
  expect(got.stdout).toContain('2 jobs: 2 for the bench');
  expect(got.stderr.split('UNKNOWN_KEY')).toHaveLength(2);
});
