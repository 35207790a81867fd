import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openJob } from '../../src/job/record.ts';
import * as started from './guided-run.ts';
import { BEFORE_READINGS, passCautions, probeOn } from './guided-run.ts';
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

const SIZES = [
  { columns: 80, rows: 24 },
  { columns: 50, rows: 24 },
];
const COLOURS: readonly Readonly<Record<string, string>>[] = [{}, { NO_COLOR: '1' }];
const MATRIX = SIZES.flatMap((size) => COLOURS.map((env) => ({ ...size, env })));

async function openNewJob(size: Partial<(typeof MATRIX)[number]> = {}): Promise<Terminal> {
  terminal = await started.openNewJob({ cwd: folder.cwd, ...size });
  return terminal;
}

async function openAtReading(size: Partial<(typeof MATRIX)[number]> = {}): Promise<Terminal> {
  terminal = await started.openAtReading({ cwd: folder.cwd, ...size });
  return terminal;
}

function recorded(): string[] {
  return openJob(join(folder.cwd, 'lamp-job.yaml')).events.map(({ say }) => say);
}

/** What was recorded from the first reading on. */
function read(): string[] {
  const says = recorded();
  expect(says.slice(0, BEFORE_READINGS.length)).toEqual(BEFORE_READINGS);
  return says.slice(BEFORE_READINGS.length);
}

describe.each(MATRIX)('the guided run at $columns×$rows, $env', (size) => {
  it('opens a job, records each answer before it goes on, and leaves', async () => {
    const run = await openAtReading(size);
    const first = await run.shows(/Next/);
    run.press('q');
    await run.shows(new RegExp(`6\\s+${probeOn(first)} quiet`));
    expect(read()).toEqual([`${probeOn(first)} quiet`]);
    run.press('x');
    expect(await run.ends()).toBe(0);
    expect(run.screen.text()).toMatch(/Recorded in lamp-job.yaml/);
    expect(run.screen.wrapped).toBe(false);
  });

  it('shows colour only where it is wanted', async () => {
    const run = await openNewJob(size);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: colour is made of them.
    const coloured = /\u001b\[(1|2|3[0-7])m.*Next/s.test(run.screen.raw);
    expect(coloured).toBe(size.env.NO_COLOR === undefined);
    const screen = await run.shows(/Next/);
    expect(screen.split('\n').length).toBeLessThanOrEqual(size.rows);
    expect(screen).toMatch(/^Next/m);
    expect(screen).toMatch(/^>/m);
  });

  it('takes Ctrl-C at the prompt: exit 130, the record whole, and the job goes on', async () => {
    const run = await openAtReading(size);
    run.press('q');
    await run.shows(/6 {2}\S+ \S+ quiet/);
    run.press('\u0003');
    expect(await run.ends()).toBe(130);
    expect(read()).toHaveLength(1);

    const again = openTerminal([], { cwd: folder.cwd, ...size });
    terminal = again;
    const list = await again.shows(/What is on the bench/);
    expect(list).toMatch(/Go on with lamp-job.yaml/);
    again.press('\r');
    await passCautions(again);
    again.press('q');
    await again.shows(/7 {2}\S+ \S+ quiet/);
    expect(read()).toHaveLength(2);
    again.press('x');
    expect(await again.ends()).toBe(0);
  });
});

describe('the stages before the first reading', () => {
  it('takes the customer’s words, then asks how it arrived, and goes on', async () => {
    const run = await openNewJob();
    run.press('customer trips the breaker, Q2 got hot\r');
    await run.shows(/2 {2}customer trips/);
    expect(run.screen.text()).toMatch(/Write down what is known/);
    run.press('0');
    const look = await run.shows(/Look over the board/);
    expect(look).toMatch(/- Q1 and Q2: named at intake/);
    expect(recorded()).toEqual([
      'customer trips the breaker, Q2 got hot',
      'arrived with nothing to note',
    ]);
  });

  it('takes findings line by line, and one key for all that look sound', async () => {
    const run = await openNewJob();
    run.press('0');
    await run.shows(/Look over the board/);
    run.press('look C1 leaking\r');
    const look = await run.shows(/4 {2}look C1 leaking/);
    expect(look).not.toMatch(/- C1/);
    run.press('1');
    await run.shows(/Measure the voltage left/);
    expect(recorded()).toContain('look Q1 looks sound');
    expect(recorded()).not.toContain('look C1 looks sound');
  });

  it('takes a bare voltage, refuses readings while it is dangerous, and says what to do', async () => {
    const run = await openNewJob();
    run.press('0');
    await run.shows(/Look over the board/);
    run.press('skip look-over seen before\r');
    await run.shows(/Measure the voltage left/);
    run.press('70\r');
    await run.shows(/Discharge P24 to GND/);
    expect(recorded().at(-1)).toBe('residual P24 GND 70 V');
    run.press('P24 GND quiet\r');
    const text = await run.shows(/Not recorded/);
    expect(text.replace(/\s+/g, ' ')).toMatch(/no cold reading above 60 V \(IEC 62368-1, ES1\)/);
    run.press('\u00150.3\r');
    await run.shows(/Probe/);
  });
});

describe('answers in the guided run', () => {
  it('takes a typed value as the answer to the probe asked for', async () => {
    const run = await openAtReading();
    const probe = probeOn(await run.shows(/Next/));
    run.press('0.4\r');
    await run.shows(/6 {2}.* 0\.4 ohm/);
    expect(read()).toEqual([`${probe} 0.4 ohm`]);
  });

  it('takes any line of the notation, even one that begins with a bound key', async () => {
    const run = await openNewJob();
    run.press('lift W1\r');
    await run.shows(/2 {2}lift W1/);
    expect(await run.shows(/To be put back/)).toMatch(/W1/);
    run.press(' undo 1\r');
    await run.shows(/3 {2}undo/);
    expect(recorded()).toEqual(['lift W1', expect.stringMatching(/^undo/)]);
  });

  it('takes a pasted line whole, though its first letter is a key', async () => {
    const run = await openNewJob();
    run.press('undo\r');
    await run.shows(/nothing to undo/);
    expect(recorded()).toEqual([]);
  });

  it('takes an answer back with u', async () => {
    const run = await openAtReading();
    const first = probeOn(await run.shows(/Next/));
    run.press('q');
    await run.shows(/6 {2}\S+ \S+ quiet/);
    run.press('u');
    await run.shows(/7 {2}undo/);
    expect(probeOn(run.screen.text())).toBe(first);
  });

  it('says what was wrong with a line, keeps it to be mended, and records nothing', async () => {
    const run = await openNewJob();
    run.press('P24 GDN beep\r');
    const text = await run.shows(/Not recorded/);
    expect(text).toMatch(/GDN/);
    expect(text).toMatch(/did you mean "GND"/);
    expect(text).toMatch(/^> P24 GDN beep/m);
    expect(recorded()).toEqual([]);
    // Ctrl-U empties the line.
    run.press('\u0015P24 GND beep\r');
    await run.shows(/2 {2}P24 GND beep/);
  });

  it('explains on w and helps on ?, and comes back to the step', async () => {
    const run = await openNewJob();
    run.press('w');
    await run.shows(/Enter: (back to the step|more)/);
    run.press('x');
    run.press('\r');
    await run.shows(/x leave/);
    run.press('?');
    expect(await run.shows(/Enter: back to the step/)).toMatch(/look Q3 burnt/);
    run.press('\r');
    await run.shows(/x leave/);
  });

  it('refuses a second run on the same job and says who holds it', async () => {
    const run = await openNewJob();
    const second = openTerminal([], { cwd: folder.cwd });
    await second.shows(/What is on the bench/);
    second.press('\r');
    expect(await second.ends()).toBe(2);
    expect(second.screen.text()).toMatch(/lamp-job.yaml/);
    run.press('x');
    expect(await run.ends()).toBe(0);
  });

  it('offers a drill on a board of the list', async () => {
    const run = openTerminal([], { cwd: folder.cwd });
    terminal = run;
    const list = await run.shows(/What is on the bench/);
    const rows = list.split('\n').filter((line) => /New job on|Drill on|Go on with/.test(line));
    const place = rows.findIndex((line) => /Drill on lamp.yaml/.test(line));
    expect(place).toBeGreaterThan(0);
    run.press('\u001b[B'.repeat(place));
    run.press('\r');
    await passCautions(run);
    expect(run.screen.text()).toMatch(/^Drill, seed \d+/);
    run.press('x');
    expect(await run.ends()).toBe(0);
  });

  it('takes a plain screen when the terminal is dumb', async () => {
    const run = await openNewJob({ env: { TERM: 'dumb' } });
    expect(run.screen.raw.includes('\u001b[2J')).toBe(false);
    run.press('x');
    expect(await run.ends()).toBe(0);
  });

  it('writes a record that is plain YAML, a line an event', async () => {
    const run = await openAtReading();
    run.press('q');
    await run.shows(/6 {2}\S+ \S+ quiet/);
    const lines = readFileSync(join(folder.cwd, 'lamp-job.yaml'), 'utf8').trimEnd().split('\n');
    expect(lines).toHaveLength(2 + BEFORE_READINGS.length);
    expect(lines.every((line) => line.startsWith('- {n: '))).toBe(true);
  });

  it('offers a map of the rail once two of its parts have places, and goes back to the step', async () => {
    const run = await openAtReading();
    expect(run.screen.text()).not.toContain('m map of the rail');
    run.press('at D1 30 20\r');
    await run.shows(/m map of the rail/);
    run.press('m');
    const map = await run.shows(/back to the step/);
    expect(map).toContain('Rail supply: P24 against GND');
    expect(map).toContain('·C1');
    expect(map).toContain('·D1');
    run.press('\r');
    await run.shows(/Probe/);
    expect(read()).toEqual(['at D1 30 20']);
  });
});

describe.each([80, 50])('an injected current in the guided run at %i columns', (columns) => {
  it('is shown until it is off, takes millivolts, and lets nothing else through', async () => {
    const run = await openAtReading({ columns, rows: 40 });
    run.press('P24 GND beep\r');
    await run.shows(/6 {2}P24 GND beep/);
    run.press('inject P24 GND 500 mA\r');
    const on = (await run.shows(/7 {2}inject P24 GND 0.5 A/)).replace(/\s+/g, ' ');
    expect(on).toMatch(/500 mA into P24, back from GND: millivolts only/);
    expect(on).toMatch(/Read millivolts between pads of P24 or GND/);
    expect(on).toMatch(/300 mV and 1 A at most/);
    run.press('C1.plus J1.1 -0.4 mV\r');
    await run.shows(/8 {2}C1\.plus J1\.1 -0\.4 mV/);
    run.press('lift W1\r');
    const refused = (await run.shows(/Not recorded/)).replace(/\s+/g, ' ');
    expect(refused).toMatch(/nobody works on a board that a current runs through/);
    run.press('\u0015');
    run.press('1');
    const off = await run.shows(/9 {2}inject off/);
    expect(off).not.toMatch(/millivolts only/);
    expect(read().slice(1)).toEqual(['inject P24 GND 0.5 A', 'C1.plus J1.1 -0.4 mV', 'inject off']);
    expect(run.screen.wrapped).toBe(false);
    run.press('u');
    expect(await run.shows(/Read millivolts/)).toMatch(/millivolts only/);
  });
});
