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

/** Holds the probes on; as often as the screen asks for it, lifts them off and puts them on again. */
async function holdUntil(isHeard: () => boolean): Promise<void> {
  const run = terminal as Terminal;
  const mustLift = (): boolean =>
    run.screen.text().lastIndexOf('Meter: lift') > run.screen.text().lastIndexOf('Meter: open');
  for (const end = Date.now() + 30_000; Date.now() < end; ) {
    await run.shows(/Meter: open(?![\s\S]*Meter: lift)/);
    instrument.probe({ ohms: 0.3, jitter: 0 });
    while (!isHeard() && !mustLift() && Date.now() < end) await pause(20);
    if (isHeard()) return;
    instrument.probe(undefined);
  }
  throw new Error(`nothing was heard:\n${run.screen.text()}`);
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
    // The screen may still show the step before the one that the last answer led to.
    const last = (linesOf('made.map').at(-1) ?? '').replaceAll('.', '\\.').replaceAll(' ', '\\s+');
    const text = await terminal.shows(
      new RegExp(`Recorded: ${last}[\\s\\S]*Hold[\\s\\S]*Meter: (open|lift)|A line, u or q`),
    );
    if (/A line, u or q/.test(text)) break;
    const { hold, touch } = stepOf(text);
    const count = linesOf('made.map').length;
    const at = touch.findIndex((point) => TRUTH[point] === TRUTH[hold]);
    if (at < 0) await tapTips(() => linesOf('made.map').length > count);
    else {
      const asked = /it beeps\. On which\?/;
      const isAsked = (): boolean =>
        asked.test((terminal?.screen.text() ?? '').split('Hold').at(-1) ?? '');
      const isRecorded = (): boolean => linesOf('made.map').length > count;
      await holdUntil(touch.length > 1 ? isAsked : isRecorded);
      if (touch.length > 1) terminal.press(String(at + 1));
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
