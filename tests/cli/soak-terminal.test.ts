import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { openJob } from '../../src/job/record.ts';
import { call } from './call.ts';
import { scratchFolder } from './scratch.ts';
import { openTerminal, type Terminal } from './terminal.ts';

let folder: ReturnType<typeof scratchFolder>;
let terminal: Terminal | undefined;

beforeEach(() => {
  folder = scratchFolder();
  const { cwd } = folder;
  call(['start', 'lamp.yaml', '-o', 'job.yaml'], { cwd });
  call(['log', 'job.yaml', 'P24 GND quiet', 'P24_LAMP GND quiet', 'power 1 passed'], { cwd });
});
afterEach(() => {
  terminal?.kill();
  terminal = undefined;
  folder.remove();
});

function recorded(): string[] {
  return openJob(join(folder.cwd, 'job.yaml'))
    .events.map(({ say }) => say)
    .slice(3);
}

it('a soak is watched at a terminal, left with Ctrl-C, and gone on with', async () => {
  const { cwd } = folder;
  terminal = openTerminal(['soak', 'job.yaml', '10', 'min'], { cwd });
  await terminal.shows(/Q1, °C:/);
  terminal.press('61\r');
  await terminal.shows(/C1, °C:/);
  terminal.press('\u0003');
  expect(await terminal.ends()).toBe(130);
  expect(terminal.screen.text()).toMatch(/The soak goes on in the record/);
  expect(recorded()).toEqual(['soak start 10 min', 'temp Q1 61 C']);

  // Another run may write meanwhile: the screen holds no lock and takes it up.
  terminal = openTerminal(['soak', 'job.yaml'], { cwd });
  await terminal.shows(/61 °C/);
  expect(call(['log', 'job.yaml', 'soak finding fan rattles'], { cwd }).exit).toBe(0);
  await terminal.shows(/Finding: fan rattles/);
  terminal.press('stop smoke at C1\r');
  expect(await terminal.ends()).toBe(1);
  expect(recorded().at(-1)).toBe('soak stopped smoke at C1');
});

it('is not begun before power-up is through', async () => {
  const { cwd } = folder;
  call(['log', 'job.yaml', 'replace C1'], { cwd });
  terminal = openTerminal(['soak', 'job.yaml', '10', 'min'], { cwd });
  expect(await terminal.ends()).toBe(1);
  expect(terminal.screen.text()).toMatch(/no soak may begin now/);
  expect(recorded()).toEqual(['replace C1']);
});

it('is not begun twice by a script', () => {
  const { cwd } = folder;
  expect(call(['soak', 'job.yaml', '2', 'h'], { cwd }).exit).toBe(0);
  const again = call(['soak', 'job.yaml', '1', 'h', '--json'], { cwd });
  expect(again.exit).toBe(1);
  expect(JSON.parse(again.stdout)).toMatchObject({ state: 'running', seconds: 7200 });
  expect(recorded()).toEqual(['soak start 2 h']);
});

it('is watched from the guided run, which goes on where it left off', async () => {
  const { cwd } = folder;
  const cold = ['GND LAMP_LOW', 'GND GATE', 'LAMP_LOW GATE', 'P24 LAMP_LOW'].map(
    (pair) => `${pair} quiet`,
  );
  const skips = ['skip look-over no time', 'skip touch-up no time'];
  call(['log', 'job.yaml', ...skips, ...cold, 'P24 P24_LAMP beep', 'soak start 10 min'], { cwd });
  terminal = openTerminal([], { cwd });
  await terminal.shows(/Go on with job.yaml/);
  terminal.press('\r');
  const cautions = await terminal.shows(/Enter: (more|go on)/);
  terminal.press('\r');
  if (/more/.test(cautions)) {
    await terminal.shows(/Enter: go on/);
    terminal.press('\r');
  }
  await terminal.shows(/The soak is running/);
  terminal.press('\r');
  await terminal.shows(/Q1, °C:/);
  terminal.press('61\r');
  await terminal.shows(/Recorded: temp Q1 61 C/);
  terminal.press('x');
  await terminal.shows(/The soak is running/);
  terminal.press('x');
  expect(await terminal.ends()).toBe(0);
  expect(recorded().at(-1)).toBe('temp Q1 61 C');
});
