import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { COMMON_HANDHELD } from '../../src/circuit/meter.ts';
import { meterFrom } from '../../src/circuit/meter-figures.ts';
import { loadMeters } from '../../src/circuit/meter-file.ts';
import { openJob } from '../../src/job/record.ts';
import { call } from './call.ts';
import { scratchFolder } from './scratch.ts';
import { openTerminal, type Terminal } from './terminal.ts';

let folder: ReturnType<typeof scratchFolder>;
let terminal: Terminal | undefined;
beforeEach(() => {
  folder = scratchFolder();
});
afterEach(() => {
  terminal?.kill();
  terminal = undefined;
  folder.remove();
});

const here = (args: readonly string[], stdin = '') => call(args, { cwd: folder.cwd, stdin });
const path = (name: string): string => join(folder.cwd, name);
const TOUCHES = 'leads 0.2\n82 ohm beep\n100 ohm quiet\n';

describe('--meter', () => {
  it('stays with the job when its file is gone, and the steps reckon with it', () => {
    here(['meter', '--calibrate', '-', '-o', 'mine.yaml'], TOUCHES);
    const own = loadMeters(readFileSync(path('mine.yaml'), 'utf8'), 'mine.yaml');
    const opened = here(['start', 'lamp.yaml', '-o', 'job.yaml', '--meter', 'mine.yaml']);
    expect(opened.exit, opened.stderr).toBe(0);
    expect(opened.stdout).toMatch(/Job opened: job.yaml \(repair, common handheld, calibrated\)/);
    writeFileSync(path('mine.yaml'), 'gone\n');
    const kept = meterFrom(openJob(path('job.yaml')).opening.meter);
    expect(kept).toEqual(own.get('common handheld, calibrated'));
    here(['log', 'job.yaml', 'skip look-over seen before', 'residual P24 GND 0 V']);
    const next = here(['next', 'job.yaml']).stdout.replace(/\s+/g, ' ');
    // 471 µF and some 90 Ω, where a common handheld would make it 14 ms
    expect(next).toMatch(/keep the beeper on for 4[0-9] ms/);
  });

  it('is a common handheld, and not in the record, when it is not given', () => {
    const { stdout } = here(['start', 'lamp.yaml', '-o', 'job.yaml', '--json']);
    expect(JSON.parse(stdout)).toMatchObject({ meter: COMMON_HANDHELD.name });
    expect(openJob(path('job.yaml')).opening.meter).toBeUndefined();
  });

  it('makes no job when there is none such', () => {
    const { exit, stderr } = here([
      'start',
      'lamp.yaml',
      '-o',
      'job.yaml',
      '--meter',
      'bench metr',
    ]);
    expect(exit).toBe(2);
    expect(stderr).toMatch(/did you mean "bench meter"\?/);
    expect(existsSync(path('job.yaml'))).toBe(false);
  });

  it('is taken by check and by drill', () => {
    writeFileSync(path('a.readings'), 'P24 GND quiet\n');
    expect(here(['check', 'lamp.yaml', 'a.readings', '--meter', 'bench-meter']).exit).toBe(0);
    expect(here(['check', 'lamp.yaml', 'a.readings', '--meter', 'nothing']).exit).toBe(2);
    const drill = ['drill', 'lamp.yaml', '--seed', '5', '--json', '--meter'];
    expect(here([...drill, 'low-cost handheld']).exit).toBe(0);
    expect(here([...drill, 'nothing']).exit).toBe(2);
  });
});

describe('a calibration at a terminal', () => {
  it('asks for one touch after the other, mends slips, and says which resistor tells most', async () => {
    const run = openTerminal(['meter', '--calibrate', '-o', 'mine.yaml'], { cwd: folder.cwd });
    terminal = run;
    await run.shows(/held together show/);
    run.press('0.3\r');
    await run.shows(/touched anew/);
    run.press('\r');
    await run.shows(/A resistor you know/);
    run.press('10 ohm shwos 10.3\r');
    await run.shows(/did you mean "shows"/);
    run.press('\u0015\r');
    await run.shows(/A resistor, and the beeper/);
    run.press('22 ohm beep\r');
    await run.shows(/22 ohm beep\n[\s\S]*A resistor, and the beeper/);
    run.press('68 ohm quiet\r');
    await run.shows(/best one of about 39 Ω/);
    run.press('39 ohm quiet\r');
    await run.shows(/39 ohm quiet\n[\s\S]*A resistor, and the beeper/);
    run.press('\r');
    expect(await run.ends()).toBe(0);
    expect(run.screen.text()).toMatch(/Wrote mine.yaml/);
    const [meter] = loadMeters(readFileSync(path('mine.yaml'), 'utf8'), 'mine.yaml').values();
    expect(meter?.beepOhms).toBeGreaterThan(22);
    expect(meter?.beepOhms).toBeLessThan(40);
  });

  it('ends with 130 on Ctrl-C and writes nothing', async () => {
    const run = openTerminal(['meter', '--calibrate', '-o', 'mine.yaml'], { cwd: folder.cwd });
    terminal = run;
    await run.shows(/held together show/);
    run.press('\u0003');
    expect(await run.ends()).toBe(130);
    expect(existsSync(path('mine.yaml'))).toBe(false);
  });
});

it('never overwrites a meter file unasked', () => {
  writeFileSync(path('mine.yaml'), 'kept\n');
  expect(here(['meter', '--calibrate', '-', '-o', 'mine.yaml'], TOUCHES).exit).toBe(2);
  expect(readFileSync(path('mine.yaml'), 'utf8')).toBe('kept\n');
  const args = ['meter', '--calibrate', '-', '-o', 'mine.yaml', '--overwrite'];
  expect(here(args, TOUCHES).exit).toBe(0);
});
