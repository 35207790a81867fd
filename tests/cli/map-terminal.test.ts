import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { call } from './call.ts';
import { scratchFolder } from './scratch.ts';
import { openTerminal, type Terminal } from './terminal.ts';

const PINS = `part,pin,x,y
J1,1,0,0
J1,2,0,5
C1,1,10,0
C1,2,10,3
R1,1,18,5
R1,2,18,7
`;

let folder: ReturnType<typeof scratchFolder>;
let terminal: Terminal | undefined;

beforeEach(() => {
  folder = scratchFolder();
  writeFileSync(join(folder.cwd, 'pins.csv'), PINS);
});
afterEach(() => {
  terminal?.kill();
  terminal = undefined;
  folder.remove();
});

function recorded(): string[] {
  const text = readFileSync(join(folder.cwd, 'made.map'), 'utf8');
  return [...text.matchAll(/say: "([^"]*)"/g)]
    .map(([, say = '']) => say)
    .filter((say) => !say.startsWith('wrote'));
}

it('one key answers each step; what was said is on the disk, and the next run goes on from it', async () => {
  const { cwd } = folder;
  terminal = openTerminal(['map', 'pins.csv', '-o', 'made.yaml'], { cwd });
  const first = await terminal.shows(/Beep\?/);
  expect(first).toMatch(/Unplug it/);
  expect(first).toMatch(/Hold/);
  terminal.press('ground J1.2\r');
  const asked = await terminal.shows(/Recorded: ground J1\.2[\s\S]*Beep\?/);
  expect(asked).toMatch(/\(GND\)/);
  terminal.press('n');
  await terminal.shows(/Recorded: \S+ .* quiet/);
  terminal.press('1');
  await terminal.shows(/Recorded: \S+ \S+ beep/);
  terminal.press('u');
  await terminal.shows(/Recorded: undo/);
  terminal.press('C1.9\r');
  await terminal.shows(/"C1\.9": a line[\s\S]*Beep\?/);
  terminal.press('q');
  expect(await terminal.ends()).toBe(0);
  const says = recorded();
  expect(says[0]).toBe('ground J1.2');
  expect(says[1]).toMatch(/ quiet$/);
  expect(says[2]).toMatch(/ beep$/);
  expect(says[3]).toBe('undo');
  expect(call(['board', 'made.yaml'], { cwd }).exit).toBe(0);

  terminal = openTerminal(['map', 'pins.csv', '-o', 'made.yaml'], { cwd });
  await terminal.shows(/Going on with made\.map/);
  terminal.press('n');
  await terminal.shows(/Recorded: \S+ .* quiet/);
  terminal.press('\u0003');
  expect(await terminal.ends()).toBe(130);
  expect(recorded()).toHaveLength(says.length + 1);

  // The board file is older than the record now, and still this map's.
  expect(call(['map', 'pins.csv', '-o', 'made.yaml', 'note back'], { cwd }).exit).toBe(0);
  writeFileSync(join(cwd, 'made.yaml'), '# changed by hand');
  const refused = call(['map', 'pins.csv', '-o', 'made.yaml', 'note again'], { cwd });
  expect(refused.exit).toBe(2);
  expect(refused.stderr).toMatch(/not as this map left it/);
});
