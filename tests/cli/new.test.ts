import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
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

const DOWN = '\u001b[B';
const path = (name: string): string => join(folder.cwd, name);
const board = (name: string) => loadBoard(readFileSync(path(name), 'utf8'), name).board;

it('asks for the stage, its size and a file, and mends a slip at once', async () => {
  const run = openTerminal(['new'], { cwd: folder.cwd });
  terminal = run;
  await run.shows(/Which stage[\s\S]*Half bridge/);
  run.press(`${DOWN}${DOWN}\r`);
  await run.shows(/Volts of the supply rail/);
  run.press('60\r');
  await run.shows(/Transistors in parallel/);
  run.press('99\r');
  await run.shows(/"99" is not a whole number from 1 to 16/);
  run.press('\u00153\r');
  await run.shows(/Transistors:/);
  run.press('\r');
  await run.shows(/Bulk capacitors in parallel/);
  run.press('\r');
  await run.shows(/sense resistor\?/);
  run.press('n');
  run.press('\r');
  await run.shows(/snubbers/);
  run.press('\r');
  await run.shows(/First designators/);
  run.press('Q101\r');
  await run.shows(/Name of the board/);
  run.press('Winch drive\r');
  await run.shows(/Board file to make/);
  run.press('winch.yaml\r');
  expect(await run.ends()).toBe(0);
  const made = board('winch.yaml');
  expect(made.name).toBe('Winch drive');
  expect(made.rails[0]?.volts).toBe(60);
  const switches = made.parts.filter(({ kind }) => kind.name === 'n-mosfet');
  expect(switches).toHaveLength(18);
  expect(switches[0]?.name).toBe('Q101');
  expect(made.netNamed.has('SENSE_U')).toBe(false);
});

it('asks only what is not set, and nothing at all where the usual size will do', async () => {
  const run = openTerminal(['new', 'buck', '--usual', '-o', 'buck.yaml'], { cwd: folder.cwd });
  terminal = run;
  expect(await run.ends()).toBe(0);
  expect(board('buck.yaml').name).toBe('Buck converter');
});

it('leaves no file behind when it is broken off', async () => {
  const run = openTerminal(['new', 'class-d'], { cwd: folder.cwd });
  terminal = run;
  await run.shows(/Volts of each rail/);
  run.press('\u0003');
  expect(await run.ends()).toBe(130);
  expect(existsSync(path('class-d.yaml'))).toBe(false);
});

it('does not write over a board file unasked', () => {
  const make = ['new', 'boost', '-o', 'boost.yaml'];
  const here = (args: readonly string[]) => call(args, { cwd: folder.cwd });
  expect(here(make).exit).toBe(0);
  expect(here([...make, '--set', 'volts=12']).exit).toBe(2);
  expect(here([...make, '--set', 'volts=12', '--overwrite']).exit).toBe(0);
  expect(board('boost.yaml').rails[0]?.volts).toBe(12);
});
