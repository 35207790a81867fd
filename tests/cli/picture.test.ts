import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { call } from './call.ts';
import { scratchFolder } from './scratch.ts';

const FEEDER = `board: Seed feeder drive
rails:
  logic: {plus: P5, minus: GND, volts: 5}
parts:
  C1: {kind: ceramic, farads: 100n, pins: [P5, GND], at: [10, 10]}
  C2: {kind: ceramic, farads: 100n, pins: [P5, GND], at: [40, 30]}
  C3: {kind: ceramic, farads: 100n, pins: [P5, GND]}
`;

let folder: ReturnType<typeof scratchFolder>;

beforeEach(() => {
  folder = scratchFolder();
  writeFileSync(join(folder.cwd, 'feeder.yaml'), FEEDER);
  const { cwd } = folder;
  call(['start', 'feeder.yaml', '-o', 'job.yaml'], { cwd });
  const says = ['P5 GND beep', 'C1.1 C1.2 31 mohm', 'C2.1 C2.2 44 mohm'];
  expect(call(['log', 'job.yaml', ...says], { cwd }).exit).toBe(0);
});
afterEach(() => folder.remove());

interface Place {
  readonly name: string;
  readonly at: readonly [number, number];
  readonly value?: { readonly text: string; readonly shade: number };
}

it('a rail is drawn by its name or its net, with places typed in the job', () => {
  const { cwd } = folder;
  const placesOf = (rail: string): Place[] => {
    const { stdout } = call(['picture', 'job.yaml', rail, '--json'], { cwd });
    const { sides } = JSON.parse(stdout) as { sides: { places: Place[] }[] };
    return sides.flatMap(({ places }) => places);
  };
  expect(placesOf('logic').map(({ name }) => name)).toEqual(['C1', 'C2']);
  call(['log', 'job.yaml', 'at C3 25 20', 'at C2 41.5 30'], { cwd });
  const placed = placesOf('p5');
  expect(placed.map(({ name, at }) => [name, at])).toEqual([
    ['C1', [10, 10]],
    ['C2', [41.5, 30]],
    ['C3', [25, 20]],
  ]);
  expect(placed.map(({ value }) => value?.text)).toEqual(['31 mΩ', '44 mΩ', undefined]);
  call(['log', 'job.yaml', 'undo'], { cwd });
  expect(placesOf('logic').find(({ name }) => name === 'C2')?.at).toEqual([40, 30]);
});

it('as text it shows values in their places and says what has none', () => {
  const { stdout, exit } = call(['picture', 'job.yaml', 'logic'], { cwd: folder.cwd });
  expect(exit).toBe(0);
  expect(stdout).toMatch(/C1 31 mΩ/u);
  expect(stdout).toContain('No place  C3. To place one: “at C3 31.5 20”, in mm');
});

it('as a drawing it is one file, and an older one is kept unless told', () => {
  const { cwd } = folder;
  const args = ['picture', 'job.yaml', 'logic', '--svg', 'rail.svg'];
  expect(call(args, { cwd })).toMatchObject({ exit: 0, stdout: 'Wrote rail.svg.\n' });
  const svg = readFileSync(join(cwd, 'rail.svg'), 'utf8');
  expect(svg).toMatch(/^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg"/u);
  expect(svg).toContain('C2.1 to C2.2: 44 mΩ');
  expect(call(args, { cwd }).exit).toBe(2);
  expect(call([...args, '--overwrite'], { cwd }).exit).toBe(0);
});

it('a rail nobody knows is told the nearest name', () => {
  const { exit, stderr } = call(['picture', 'job.yaml', 'logik'], { cwd: folder.cwd });
  expect(exit).toBe(2);
  expect(stderr).toContain('no rail and no net is called "logik"');
  expect(stderr).toContain('did you mean "logic"?');
});
