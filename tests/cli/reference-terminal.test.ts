import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, expect, it } from 'vitest';
import { scratchFolder } from './scratch.ts';
import { openTerminal, type Terminal } from './terminal.ts';

const folder = scratchFolder();
let terminal: Terminal | undefined;

afterEach(() => {
  terminal?.kill();
  folder.remove();
});

it('a good board is read one reading after the other; each is in the file before the next is asked', async () => {
  const { cwd } = folder;
  const lines = (): string[] =>
    readFileSync(join(cwd, 'good.readings'), 'utf8')
      .split('\n')
      .filter((line) => line !== '' && !line.startsWith('#'));
  terminal = openTerminal(['reference', 'lamp.yaml', '-o', 'good.readings'], { cwd });
  const first = await terminal.shows(/Ohms:/);
  expect(first).toMatch(/Unplug it/);
  expect(first).toMatch(/Red on P24/);
  terminal.press('5.1k\r');
  await terminal.shows(/diode test[\s\S]*Volts:/);
  expect(lines()).toEqual(['P24 GND 5.1 kohm']);
  terminal.press('OL\r');
  await terminal.shows(/Red on GND[\s\S]*Volts:/);
  expect(lines()).toEqual(['P24 GND 5.1 kohm', 'P24 GND OL diode']);
  terminal.press('u');
  await terminal.shows(/Volts: u[\s\S]*Volts:/);
  terminal.press('q');
  expect(await terminal.ends()).toBe(0);
  expect(lines().at(-1)).toBe('undo');
});
