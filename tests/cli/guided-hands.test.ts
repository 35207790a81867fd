import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openJob } from '../../src/job/record.ts';
import { BEFORE_READINGS, openAtReading, passCautions, probeOn } from './guided-run.ts';
import { scratchFolder } from './scratch.ts';
import { BIN, openTerminal, type Terminal } from './terminal.ts';

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

async function openRun(
  options: { readonly columns?: number; readonly rows?: number; readonly plain?: boolean } = {},
): Promise<Terminal> {
  const { plain, ...size } = options;
  terminal = await openAtReading({ cwd: folder.cwd, ...size }, plain ? ['--plain'] : []);
  return terminal;
}

/** What was recorded from the first reading on. */
function read(): string[] {
  const says = openJob(join(folder.cwd, 'lamp-job.yaml')).events.map(({ say }) => say);
  expect(says.slice(0, BEFORE_READINGS.length)).toEqual(BEFORE_READINGS);
  return says.slice(BEFORE_READINGS.length);
}

describe('the keys beside the answers', () => {
  it('bring back what an undo took, and only then', async () => {
    const run = await openRun();
    expect(run.screen.text()).not.toContain('y redo');
    run.press('q');
    await run.shows(/6 {2}\S+ \S+ quiet/);
    run.press('u');
    expect(await run.shows(/7 {2}undo/)).toContain('y redo');
    run.press('y');
    expect(await run.shows(/8 {2}redo/)).not.toContain('y redo');
    expect(read()).toEqual(['P24 GND quiet', 'undo', 'redo']);
  });

  it('pass a step over with a reason of one key, or one that is typed', async () => {
    const run = await openRun();
    const first = probeOn(run.screen.text());
    run.press('k');
    expect(await run.shows(/Why\?/)).toMatch(/^Next {3}Probe P24/m);
    run.press('1');
    const second = probeOn(await run.shows(/6 {2}pass/));
    expect(second).not.toBe(first);
    run.press('k');
    await run.shows(/Why\?/);
    run.press('the lid is on\r');
    await run.shows(/7 {2}pass/);
    expect(read()[0]).toBe(`pass ${first} because no room for the probes`);
    expect(read()[1]).toMatch(/^pass .* because the lid is on$/);
  });

  it('go back from a question with Enter alone, and nothing is recorded', async () => {
    const run = await openRun();
    run.press('k');
    await run.shows(/Why\?/);
    run.press('\r');
    await run.shows(/x leave/);
    expect(read()).toEqual([]);
  });

  it('say what cannot be reached, and the step is asked for elsewhere', async () => {
    const run = await openRun();
    run.press('g');
    await run.shows(/What can the probes not reach/);
    expect(run.screen.text()).toMatch(/1 +J1\.1, a connector pin/);
    run.press('1');
    const next = await run.shows(/6 {2}unreachable/);
    expect(probeOn(next)).toBe('P24 GND');
    expect(next).toMatch(/Red on C1\.plus, a large pad/);
    run.press('g');
    await run.shows(/What can the probes not reach/);
    run.press('3');
    expect(probeOn(await run.shows(/7 {2}unreachable/)).split(' ')).not.toContain('P24');
    expect(read()).toEqual(['unreachable J1.1', 'unreachable P24']);
  });

  it('find a part or a net by a few letters', async () => {
    const run = await openRun();
    run.press('/');
    await run.shows(/Find:/);
    run.press('lo');
    expect(await run.shows(/LAMP_LOW/)).toMatch(/^Next {3}Probe P24/m);
    run.press('\r');
    expect(await run.shows(/back to the step/)).toContain('LAMP_LOW: 4 pads');
    run.press('\r');
    await run.shows(/x leave/);
    run.press('/');
    await run.shows(/Find:/);
    run.press('q1\r');
    expect(await run.shows(/back to the step/)).toMatch(/^Pins .*D on LAMP_LOW/m);
    run.press('\r');
    await run.shows(/x leave/);
    run.press('e');
    expect(await run.shows(/back to the step/)).toMatch(/^Red +P24: J1\.1, a connector pin/m);
    expect(read()).toEqual([]);
  });

  it('tell what a lift would lead to without recording it', async () => {
    const run = await openRun({ rows: 40 });
    run.press('b');
    await run.shows(/6 {2}P24 GND beep/);
    run.press('h');
    await run.shows(/What if I lift/);
    run.press('w1\r');
    const page = await run.shows(/back to the step/);
    expect(page).toContain('What if W1 were out of circuit?');
    expect(page).toMatch(/If +(quiet|beep) \(\d+ %\)/);
    expect(page).toMatch(/until the culprit is found/);
    expect(read()).toEqual(['P24 GND beep']);
  });

  it('are all listed behind ?', async () => {
    const run = await openRun({ rows: 40 });
    run.press('?');
    const page = await run.shows(/Keys/);
    const told = page.replace(/\s+/g, ' ').split(' Lines you may')[0] ?? '';
    for (const key of ['b beep', 'q quiet', 'u undo', 'w why', 'k pass', 'g cannot', 'h what if']) {
      expect(told).toContain(key);
    }
    expect(told).toContain('/ find a part or net');
  });
});

describe('a figure', () => {
  it('ends with its unit, and needs no Enter', async () => {
    const run = await openRun();
    run.press('4.7k');
    await run.shows(/6 {2}P24 GND 4\.7 kohm/);
    expect(read()).toEqual(['P24 GND 4.7 kohm']);
  });

  it('may be typed with the whole unit all the same', async () => {
    const run = await openRun();
    run.press('4.7kohm\r');
    await run.shows(/6 {2}P24 GND 4\.7 kohm/);
    run.press('x');
    expect(await run.ends()).toBe(0);
    expect(read()).toEqual(['P24 GND 4.7 kohm']);
  });
});

describe('a terminal that changes', () => {
  it('is laid out anew for its size, and keeps what was typed', async () => {
    const run = await openRun({ columns: 100, rows: 30 });
    run.press('P24 GN');
    await run.shows(/> P24 GN/);
    run.resize(50, 20);
    const narrow = await run.shows(/> P24 GN/);
    expect(Math.max(...narrow.split('\n').map((line) => line.length))).toBeLessThanOrEqual(50);
    expect(narrow.split('\n').length).toBeLessThanOrEqual(20);
    expect(narrow).toMatch(/^Next/m);
    run.resize(200, 30);
    await run.shows(/> P24 GN/);
    run.press('D quiet\r');
    await run.shows(/6 {2}P24 GND quiet/);
  });

  it('is laid out anew on a page too, from where it was', async () => {
    const run = await openRun({ rows: 14 });
    run.press('?');
    await run.shows(/Enter: more/);
    run.press('\r');
    await run.shows(/off Q3/);
    run.resize(50, 14);
    const after = await run.shows(/Enter: more/);
    expect(after).toMatch(/off Q3/);
    expect(Math.max(...after.split('\n').map((line) => line.length))).toBeLessThanOrEqual(50);
    run.press('x');
    await run.shows(/x leave/);
  });
});

describe('plain lines, for a screen reader', () => {
  /** All that moves a cursor or wipes something; colours do not. */
  // biome-ignore lint/suspicious/noControlCharactersInRegex: a terminal is made of them.
  const DRAWN_OVER = /\u001b\[[?\d;]*[A-Za-ln-z]|\r(?!\r*\n)/;

  it('only ever add to the screen, and take the same keys and lines', async () => {
    const run = await openRun({ plain: true, rows: 60 });
    run.press('q');
    await run.shows(/6 {2}P24 GND quiet/);
    run.press('k');
    await run.shows(/Why\?/);
    run.press('later on\r');
    await run.shows(/7 {2}pass/);
    run.press('/');
    await run.shows(/Find:/);
    run.press('q\r');
    await run.shows(/Which one\?/);
    run.press('2');
    await run.shows(/Q2, .*failed with/);
    run.press('\r');
    run.press('P24_LAMP GNX\u007fD quiet\r');
    await run.shows(/8 {2}P24_LAMP GND quiet/);
    run.press('x');
    expect(await run.ends()).toBe(0);
    expect(run.screen.raw).not.toMatch(DRAWN_OVER);
  });

  it('leave on Ctrl-C with what was recorded kept', async () => {
    const run = await openRun({ plain: true, rows: 60 });
    run.press('q');
    await run.shows(/6 {2}P24 GND quiet/);
    run.press('\u0003');
    expect(await run.ends()).toBe(130);
    expect(read()).toEqual(['P24 GND quiet']);
  });
});

describe.each([false, true])('a run at a terminal, plain lines %s,', (plain) => {
  it('ends quietly at the end of input', async () => {
    const run = await openRun({ plain });
    run.press('\u0004');
    expect(await run.ends()).toBe(0);
    expect(run.screen.text()).toMatch(/Recorded in lamp-job.yaml/);
    expect(existsSync(join(folder.cwd, 'lamp-job.yaml.lock'))).toBe(false);
  });

  it('ends with a hang-up, and leaves no lock behind', async () => {
    const run = await openRun({ plain });
    run.kill('SIGHUP');
    expect(await run.ends()).toBe(129);
    expect(existsSync(join(folder.cwd, 'lamp-job.yaml.lock'))).toBe(false);
  });

  it('stops on Ctrl-Z and comes back to the same step', async () => {
    const run = await openRun({ plain });
    run.press('x');
    expect(await run.ends()).toBe(0);
    const program = ['bash', '--norc', '--noprofile', '-i'] as const;
    const shell = openTerminal([], { cwd: folder.cwd, program, rows: 60, env: { PS1: '% ' } });
    terminal = shell;
    await shell.shows(/%/);
    shell.press(`node ${BIN}${plain ? ' --plain' : ''}\r`);
    await shell.shows(/What is on the bench/);
    shell.press('\r');
    await passCautions(shell);
    await shell.shows(/Probe P24/);
    shell.press('P24 GN');
    await shell.shows(/> P24 GN/);
    shell.press('\u001a');
    await shell.shows(/Stopped/);
    // The shell has the terminal, and what is typed there is seen.
    shell.press('echo $((40 + 2))\r');
    await shell.shows(/^42$/m);
    shell.press('fg\r');
    await shell.shows(/> P24 GN$/m);
    shell.press('D quiet\r');
    await shell.shows(/6 {2}P24 GND quiet/);
    shell.press('x');
    await shell.shows(/Recorded in/);
    expect(read()).toEqual(['P24 GND quiet']);
  });
});
