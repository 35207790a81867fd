import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { Instrument, pause } from '../bench/meter/instrument.ts';
import { call } from './call.ts';
import { scratchFolder } from './scratch.ts';
import { openTerminal, type Terminal } from './terminal.ts';

const PINS = `part,pin,x,y
J1,1,0,0
J1,2,0,5
C1,1,10,0
C1,2,10,3
`;
const TRUTH: Readonly<Record<string, string>> = {
  'J1.1': 'plus',
  'J1.2': 'minus',
  'C1.1': 'plus',
  'C1.2': 'minus',
};

let folder: ReturnType<typeof scratchFolder>;
let terminal: Terminal | undefined;
let instrument: Instrument;
let link: readonly string[];

beforeEach(async () => {
  folder = scratchFolder();
  writeFileSync(join(folder.cwd, 'pins.csv'), PINS);
  instrument = new Instrument({ answerMs: 15 });
  link = ['--meter', `tcp://127.0.0.1:${await instrument.start()}`];
});
afterEach(async () => {
  terminal?.kill();
  terminal = undefined;
  await instrument.stop();
  folder.remove();
});

function linesOf(file: string): string[] {
  const path = join(folder.cwd, file);
  const text = existsSync(path) ? readFileSync(path, 'utf8') : '';
  return file.endsWith('.map')
    ? [...text.matchAll(/say: "([^"]*)"/g)].map(([, say = '']) => say)
    : text.split('\n').filter((line) => line !== '' && !line.startsWith('#'));
}

async function recordedMore(file: string, count: number): Promise<void> {
  for (const end = Date.now() + 15_000; linesOf(file).length < count; await pause(20)) {
    if (Date.now() > end) throw new Error(`nothing more in ${file}:\n${terminal?.screen.text()}`);
  }
}

async function tapTips(isHeard: () => boolean): Promise<void> {
  while (!isHeard()) {
    for (let tap = 0; tap < 2; tap += 1) {
      instrument.probe({ ohms: 0.1, volts: 0.001, jitter: 0 });
      await pause(150);
      instrument.probe(undefined);
      await pause(150);
    }
    for (const end = Date.now() + 3000; !isHeard() && Date.now() < end; ) await pause(20);
  }
}

/** The last step on the screen: the held point, and those to touch in their order. */
function stepOf(text: string): { hold: string; touch: string[] } {
  const last = text.slice(text.lastIndexOf('Hold'));
  const [, hold = ''] = /Hold\s+(\S+)/.exec(last) ?? [];
  const touch = [...last.matchAll(/\d (\w+\.\w+)/g)].map(([, point = '']) => point);
  return { hold, touch };
}

it('a meter answers the steps of a map; of several points a key says which beeped', async () => {
  const { cwd } = folder;
  terminal = openTerminal(['map', 'pins.csv', '-o', 'made.yaml', ...link], { cwd, rows: 40 });
  await terminal.shows(/Meter: open/);
  terminal.press('ground J1.2\r');
  await recordedMore('made.map', 1);
  for (let step = 0; step < 20; step += 1) {
    const text = await terminal.shows(/Meter: (open|lift)|A line, u or q/);
    if (/A line, u or q/.test(text)) break;
    const { hold, touch } = stepOf(text);
    const count = linesOf('made.map').length;
    const at = touch.findIndex((point) => TRUTH[point] === TRUTH[hold]);
    if (at < 0) await tapTips(() => linesOf('made.map').length > count);
    else {
      await terminal.shows(/Meter: open/);
      instrument.probe({ ohms: 0.3, jitter: 0 });
      if (touch.length > 1) {
        await terminal.shows(/it beeps\. On which\?/);
        terminal.press(String(at + 1));
      }
      await recordedMore('made.map', count + 1);
      instrument.probe(undefined);
    }
  }
  terminal.press('q');
  expect(await terminal.ends()).toBe(0);
  expect(linesOf('made.map').filter((line) => / beep$/.test(line)).length).toBeGreaterThan(1);
  expect(instrument.overlaps).toBe(0);
  const nets = call(['board', 'made.yaml', '--json'], { cwd });
  expect(nets.exit).toBe(0);
  const made = readFileSync(join(cwd, 'made.yaml'), 'utf8');
  const netsOf = (part: string): string[] =>
    (new RegExp(`${part}:[\\s\\S]*?pins: [{[]([^}\\]]*)`).exec(made)?.[1] ?? '')
      .split(',')
      .map((each) => each.split(':').at(-1)?.trim() ?? '');
  expect(netsOf('J1')).toEqual(netsOf('C1'));
}, 120_000);

it('a figure that is no beep answers for one point, and for none of several', async () => {
  const { cwd } = folder;
  writeFileSync(join(cwd, 'two.csv'), 'part,pin\nJ1,1\nJ2,1\n');
  terminal = openTerminal(['map', 'two.csv', '-o', 'two.yaml', ...link], { cwd, rows: 40 });
  await terminal.shows(/Meter: open/);
  instrument.probe({ ohms: 47_000, jitter: 0 });
  await recordedMore('two.map', 1);
  expect(linesOf('two.map')[0]).toMatch(/^J\d\.1 J\d\.1 quiet$/);
  terminal.kill();
  instrument.probe(undefined);
  terminal = openTerminal(['map', 'pins.csv', '-o', 'made.yaml', ...link], { cwd, rows: 40 });
  await terminal.shows(/Meter: open/);
  instrument.probe({ ohms: 47_000, jitter: 0 });
  await terminal.shows(/lift the probes off/);
  await pause(800);
  expect(linesOf('made.map')).toEqual([]);
}, 60_000);

it('what the meter hears is cut between words on a narrow screen', async () => {
  const { cwd } = folder;
  const size = { cwd, rows: 40, columns: 50 };
  terminal = openTerminal(['map', 'pins.csv', '-o', 'made.yaml', ...link], size);
  await terminal.shows(/Meter: open[^\n]*\n\S+ \S/);
  expect(terminal.screen.wrapped).toBe(false);
}, 30_000);

it('a meter answers the readings of a good board, open ones by a key', async () => {
  const { cwd } = folder;
  terminal = openTerminal(['reference', 'lamp.yaml', '-o', 'good.readings', ...link], {
    cwd,
    rows: 40,
  });
  const file = 'good.readings';
  await terminal.shows(/Ohms[\s\S]*Meter: open/);
  instrument.probe({ ohms: 5100, volts: 0.5, jitter: 0 });
  await recordedMore(file, 1);
  instrument.probe(undefined);
  await terminal.shows(/Volts[\s\S]*Meter: open/);
  await pause(300);
  terminal.press('t');
  await recordedMore(file, 2);
  await terminal.shows(/Red on GND[\s\S]*Meter: open/);
  instrument.probe({ ohms: 5e6, volts: 0.52, jitter: 0 });
  await recordedMore(file, 3);
  terminal.press('u');
  await recordedMore(file, 4);
  terminal.press('q');
  expect(await terminal.ends()).toBe(0);
  expect(linesOf(file)).toEqual(['P24 GND 5.1 kohm', 'P24 GND OL diode', 'GND P24 0.52 V', 'undo']);
}, 60_000);
