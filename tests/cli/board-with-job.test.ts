import { appendFileSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { call } from './call.ts';
import { BEFORE_READINGS, passCautions } from './guided-run.ts';
import { scratchFolder } from './scratch.ts';
import { openTerminal } from './terminal.ts';

let folder: ReturnType<typeof scratchFolder>;
beforeEach(() => {
  folder = scratchFolder();
  here('start', 'lamp.yaml', '-o', 'job.yaml');
});
afterEach(() => folder.remove());

const here = (...args: string[]) => call(args, { cwd: folder.cwd, env: { NO_COLOR: '1' } });
const path = (name: string): string => join(folder.cwd, name);
const boardText = (): string => readFileSync(path('lamp.yaml'), 'utf8');
/** What is concluded; the numbers of pins differ, and with them the last digits of sums. */
const weighed = () =>
  JSON.parse(here('why', 'job.yaml', '--json').stdout, (_, value) =>
    typeof value === 'number' ? Number(value.toFixed(9)) : value,
  );
const WITH = ['board', 'lamp.yaml', '--with', 'job.yaml'];

it('writes what was seen into the board file, and the job goes on with it', () => {
  expect(
    here('log', 'job.yaml', 'D7 is a diode', 'D7.K goes to P24', 'D7.A goes to new CLAMP').exit,
  ).toBe(0);
  here('log', 'job.yaml', 'residual P24 GND 0 V', 'CLAMP GND quiet');
  const before = weighed();
  const text = boardText();
  expect(here(...WITH).stdout).toContain('+  D7: {kind: diode, pins: {A: CLAMP, K: P24}}');
  expect(boardText()).toBe(text);
  expect(here(...WITH, '--write').exit).toBe(0);
  expect(boardText()).not.toBe(text);
  expect(here(...WITH).stdout).toMatch(/holds all that job.yaml says/);
  const next = here('next', 'job.yaml');
  expect(next.exit).toBe(0);
  expect(next.stderr).not.toMatch(/warning|changed/i);
  expect(weighed()).toEqual(before);
  expect(here('log', 'job.yaml', 'D7.K goes to GND').stderr).toMatch(/D7.K is on P24/);
  expect(here('log', 'job.yaml', 'D7.K goes to GND instead').exit).toBe(0);
  expect(here(...WITH).stdout).toContain('+  D7: {kind: diode, pins: {A: CLAMP, K: GND}}');
});

it('is refused where the board file is another than the job is of', () => {
  here('log', 'job.yaml', 'W5 joins P24 and GND');
  appendFileSync(path('lamp.yaml'), '# touched\n');
  const text = boardText();
  const refused = here(...WITH, '--write');
  expect(refused.exit).toBe(2);
  expect(refused.stderr).toMatch(/has changed since/);
  expect(boardText()).toBe(text);
  const shown = here(...WITH);
  expect(shown.stdout).toContain('+  W5: [P24, GND]');
  expect(shown.stderr).toMatch(/has changed since/);
});

it('is refused, and nothing is written, where it does not fit the rest of the file', () => {
  writeFileSync(path('lamp.yaml'), `${boardText()}nets: {P24: {points: [J1.1]}}\n`);
  here('start', 'lamp.yaml', '-o', 'other.yaml');
  here('log', 'other.yaml', 'J1.1 goes to GND instead');
  const text = boardText();
  const refused = here('board', 'lamp.yaml', '--with', 'other.yaml', '--write');
  expect(refused.exit).toBe(2);
  expect(refused.stderr).toMatch(/J1.1/);
  expect(boardText()).toBe(text);
});

it('tells what the readings say of the board as it is known now, once more was seen of it', () => {
  here('log', 'job.yaml', 'D7 is a diode', 'D7.K GND beep', 'D7.K GND beep');
  const likeliest = (): unknown => JSON.parse(here('why', 'job.yaml', '--json').stdout);
  const known = likeliest();
  const told = here('log', 'job.yaml', 'D7.K goes to P24').stdout;
  expect(told).not.toContain('UNSEEN');
  expect(told).toMatch(/Likeliest +(C1|one of|D1)/);
  expect(here('log', 'job.yaml', 'undo').stdout).toContain('UNSEEN_D7_K');
  expect(likeliest()).toEqual(known);
});

it('is typed in the guided run like any line, and the next step reckons with it', async () => {
  here('log', 'job.yaml', ...BEFORE_READINGS);
  const run = openTerminal([], { cwd: folder.cwd });
  try {
    await run.shows(/Go on with job.yaml/);
    run.press('\r');
    await passCautions(run);
    await run.shows(/Probe/);
    run.press('D77 is a diode\r');
    await run.shows(/D77 is a diode/);
    run.press('D77 K goes to P24\r');
    await run.shows(/D77\.K goes to P24/);
    run.press('D77.K goes to GND\r');
    await run.shows(/D77\.K is on P24/);
    run.press('\u0015W9 joins P24 and GND\r');
    await run.shows(/W9 joins P24 and GND/);
    run.press('P24 GND beep\r');
    await run.shows(/P24 GND beep/);
    expect(here('why', 'job.yaml', '--json').stdout).toContain('nothing has failed');
  } finally {
    run.kill();
  }
});
