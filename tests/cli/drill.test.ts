import { afterEach, beforeEach, describe, expect, it } from 'vitest';
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

async function openDrill(args: readonly string[] = [], columns = 80): Promise<Terminal> {
  const opened = openTerminal(['drill', 'lamp.yaml', ...args], { cwd: folder.cwd, columns });
  terminal = opened;
  for (;;) {
    const text = await opened.shows(/Enter: (more|go on)/);
    opened.press('\r');
    if (/Enter: go on/.test(text)) break;
    await opened.shows(/Enter: go on/);
  }
  await opened.shows(/x leave/);
  return opened;
}

describe('a drill at a terminal', () => {
  it.each([80, 50])(
    'is played to the end with Enter at %i columns',
    async (columns) => {
      const run = await openDrill(['--seed', '3'], columns);
      let steps = 0;
      for (; steps < 80; steps += 1) {
        const text = await run.shows(/x leave/);
        if (/Enter finish/.test(text)) break;
        run.press('\r');
        await run.changes(text);
      }
      expect(steps).toBeGreaterThan(3);
      run.press('\r');
      expect(await run.ends()).toBe(0);
      expect(run.screen.text()).toMatch(/Every rail and every new part was read clear/);
      expect(run.screen.text()).toMatch(/Hidden/);
      expect(run.screen.wrapped).toBe(false);
    },
    60_000,
  );

  it('answers pads in millivolts while a current is on, and ends it with Enter', async () => {
    const run = await openDrill();
    run.press('inject P24 GND 0.5 A\r');
    await run.shows(/Enter supply is off/);
    run.press('C1.plus J1.1\r');
    await run.shows(/3 {2}C1\.plus J1\.1 -?[\d.]+ mV/);
    run.press('C1.plus J1.1 mV\r');
    await run.shows(/4 {2}C1\.plus J1\.1 -?[\d.]+ mV/);
    run.press('\r');
    await run.shows(/5 {2}inject off/);
    run.press('P24 LAMP_LOW\r');
    await run.shows(/6 {2}P24 LAMP_LOW (beep|quiet)/);
    run.press('x');
    expect(await run.ends()).toBe(0);
  });

  it('answers a probe that is typed without a value', async () => {
    const run = await openDrill();
    run.press('P24 LAMP_LOW\r');
    await run.shows(/2 {2}P24 LAMP_LOW (beep|quiet)/);
    run.press('R1.1 R1.2 ohms\r');
    await run.shows(/3 {2}R1\.1 R1\.2 .*ohm/);
    run.press('x');
    expect(await run.ends()).toBe(0);
    expect(run.screen.text()).toMatch(/Ended early/);
    expect(run.screen.text()).toMatch(/Missed {2,}\w+/);
  });

  it('ends with 130 on Ctrl-C', async () => {
    const run = await openDrill();
    run.press('\u0003');
    expect(await run.ends()).toBe(130);
  });
});

describe('a drill that plays itself', () => {
  it('prints every step with what was recorded, and ends read clear', () => {
    const { exit, stdout } = call(['drill', 'lamp.yaml', '--seed', '5'], { cwd: folder.cwd });
    expect(exit).toBe(0);
    expect(stdout).toMatch(/^ {2}1 {2}/m);
    expect(stdout).toMatch(/→ P24 GND (beep|quiet)/);
    expect(stdout).toMatch(/Every rail and every new part was read clear/);
  });

  it('is the same for the same seed', () => {
    const play = (seed: string): string =>
      call(['drill', 'lamp.yaml', '--auto', '--seed', seed], { cwd: folder.cwd }).stdout;
    expect(play('11')).toBe(play('11'));
  });

  it('finds several faults, and says so in JSON', () => {
    const args = ['drill', 'lamp.yaml', '--seed', '2', '--faults', '2', '--json'];
    const { exit, stdout } = call(args, { cwd: folder.cwd });
    expect(exit).toBe(0);
    const { steps, result } = JSON.parse(stdout);
    expect(result.clear).toBe(true);
    expect(result.hidden.length).toBeGreaterThanOrEqual(2);
    expect(result.missed).toEqual([]);
    expect(steps.length).toBeGreaterThanOrEqual(result.readings);
  });
});
