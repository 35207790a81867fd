import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { SimulatedBench } from '../../src/bench/simulated-bench.ts';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import type { ReadingValue } from '../../src/circuit/reading.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { parseSay } from '../../src/job/notation.ts';
import { openJob } from '../../src/job/record.ts';
import { Instrument, pause } from '../bench/meter/instrument.ts';
import { call } from './call.ts';
import { LAMP, scratchFolder } from './scratch.ts';
import { openTerminal, type Terminal } from './terminal.ts';

let folder: ReturnType<typeof scratchFolder>;
let terminal: Terminal | undefined;
let instrument: Instrument;

beforeEach(async () => {
  folder = scratchFolder();
  instrument = new Instrument({ answerMs: 15 });
  instrument.lateMs = 6000;
  await instrument.start();
});
afterEach(async () => {
  terminal?.kill();
  terminal = undefined;
  await instrument.stop();
  folder.remove();
});

const BEFORE_READINGS = [
  'customer said nothing',
  'arrived with nothing to note',
  'skip look-over seen before',
  'residual P24 GND 0 V',
];

const JOB = 'job.yaml';

function recorded(): string[] {
  return openJob(join(folder.cwd, JOB)).events.map(({ say }) => say);
}

/** What was recorded from the first reading on. */
function read(): string[] {
  return recorded().slice(BEFORE_READINGS.length);
}

interface Call {
  readonly columns?: number;
  readonly rows?: number;
  readonly args?: readonly string[];
  readonly env?: Readonly<Record<string, string>>;
}

/** A job that stands at its first reading, in the guided run with the meter on loopback. */
async function openAtReading({ args = [], ...size }: Call = {}): Promise<Terminal> {
  const { cwd } = folder;
  expect(call(['start', 'lamp.yaml', '-o', JOB, '--meter', 'bench-meter'], { cwd }).exit).toBe(0);
  expect(call(['log', JOB, ...BEFORE_READINGS], { cwd }).exit).toBe(0);
  const link = ['--meter', `tcp://127.0.0.1:${instrument.port}`];
  const run = openTerminal(['guide', JOB, ...link, ...args], { cwd, rows: 40, ...size });
  terminal = run;
  for (;;) {
    const text = await run.shows(/Enter: (more|go on)/);
    run.press('\r');
    if (/Enter: go on/.test(text)) break;
    await run.shows(/Enter: go on/);
  }
  await run.shows(/Meter: open/);
  return run;
}

async function until(isSo: () => boolean, what: string): Promise<void> {
  for (const end = Date.now() + 20_000; !isSo(); await pause(20)) {
    if (Date.now() > end) throw new Error(`${what}; the screen shows:\n${terminal?.screen.text()}`);
  }
}

/** Waits until so many lines more are in the record. */
async function recordedMore(count: number): Promise<void> {
  await until(() => recorded().length >= count, `never came to ${count} lines`);
}

async function holdUntilRecorded(ohms: number, volts = 0.6): Promise<void> {
  const count = recorded().length;
  instrument.probe({ ohms, volts, jitter: 0 });
  await recordedMore(count + 1);
  instrument.probe(undefined);
}

async function tapUntilRecorded(): Promise<void> {
  const count = recorded().length;
  while (recorded().length === count) {
    for (let tap = 0; tap < 2; tap += 1) {
      instrument.probe({ ohms: 0.1, volts: 0.001, jitter: 0 });
      await pause(150);
      instrument.probe(undefined);
      await pause(150);
    }
    const end = Date.now() + 3000;
    while (recorded().length === count && Date.now() < end) await pause(20);
  }
}

/** A simulated board under the probes: it answers what the screen asks for. */
class Under {
  readonly #board: Board = loadBoard(LAMP, 'lamp.yaml').board;
  readonly #bench: SimulatedBench;

  constructor(these: readonly { part: string; mode: string }[]) {
    this.#bench = new SimulatedBench(this.#board, { seed: 3, faults: 0, these });
  }

  async probe(asked: string): Promise<void> {
    const value = this.#answer(asked);
    if (value.kind === 'over') return await tapUntilRecorded();
    if (value.kind === 'volts') return await holdUntilRecorded(5e6, value.volts);
    if (value.kind === 'ohms') return await holdUntilRecorded(value.ohms);
    await holdUntilRecorded(value.kind === 'beep' ? 0.3 : 47_000);
  }

  #answer(asked: string): ReadingValue {
    const [, red, black, mode] =
      asked.match(/Probe (\S+) \(red\) and (\S+) \(black\), (beeper|ohms|diode)/) ?? [];
    const standIn = mode === 'beeper' ? 'beep' : mode === 'ohms' ? '1 ohm' : '1 V';
    const say = parseSay(this.#board, `${red} ${black} ${standIn}`);
    if (say.do !== 'read') throw new Error(asked);
    const { events, path } = openJob(join(folder.cwd, JOB));
    const { state } = deriveJob(this.#board, events, path).evidence;
    return this.#bench.answer(say.reading, state);
  }
}

/** The meter is listened to and the probes are up, or the prompt waits for a key and has nothing below it. */
const WAITING = /Meter: open|^>\s*$(?![\s\S]*\S)/m;

// biome-ignore lint/suspicious/noControlCharactersInRegex: escape sequences begin with one.
const DRAWN_OVER = /\u001b\[[\d;]*[A-HJK]/;

const flat = (text: string): string => text.replace(/\s+/g, ' ');

describe('the guided run with a meter that answers by itself', () => {
  it('goes through the readings of a sound board without a key', async () => {
    const run = await openAtReading();
    const board = new Under([]);
    let readings = 0;
    for (;;) {
      const text = flat(await run.shows(WAITING));
      if (!/Meter: open/.test(text)) break;
      await board.probe(text);
      readings += 1;
    }
    expect(readings).toBeGreaterThan(3);
    expect(read()).toHaveLength(readings);
    expect(read()).toContain('P24 GND quiet');
    expect(run.screen.text()).not.toMatch(/Probe/);
    // One bell for each reading, and for the last, which leaves the board clear, two and two.
    const bells = (): number => run.screen.raw.split('\u0007').length - 1;
    await until(() => bells() === readings + 3, 'never rang clear');
    expect(instrument.overlaps).toBe(0);
  }, 120_000);

  it('hears its way to a shorted part; only what hands and eyes did is said by a key', async () => {
    const run = await openAtReading();
    const board = new Under([{ part: 'D1', mode: 'short' }]);
    for (let turn = 0; turn < 30 && !/^replace .*D1/.test(recorded().at(-1) ?? ''); turn += 1) {
      const text = flat(await run.shows(WAITING));
      const count = recorded().length;
      if (/Meter: open/.test(text)) await board.probe(text);
      else run.press(/1 looks sound/.test(text) ? '1' : '\r');
      await recordedMore(count + 1);
    }
    expect(read()).toContain('P24 GND beep');
    expect(read().some((say) => /^replace .*D1/.test(say))).toBe(true);
  }, 120_000);

  it('takes a value back by a key, and hears the same points again', async () => {
    const run = await openAtReading();
    await holdUntilRecorded(0.4);
    await run.shows(/Meter: open/);
    run.press('u');
    await recordedMore(BEFORE_READINGS.length + 2);
    await run.shows(/Meter: open/);
    await holdUntilRecorded(52_000);
    expect(read().map((say) => say.split(' ').at(-1))).toEqual([
      'beep',
      expect.anything(),
      'quiet',
    ]);
    expect(flat(await run.shows(/The meter showed/))).toMatch(/The meter showed 52 kΩ/);
  }, 60_000);

  it('records nothing from a meter while a line is typed, and takes the line', async () => {
    const run = await openAtReading();
    run.press('0.7');
    await run.shows(/> 0\.7/);
    instrument.probe({ ohms: 33, jitter: 0 });
    await pause(1500);
    expect(read()).toEqual([]);
    run.press('\r');
    await recordedMore(BEFORE_READINGS.length + 1);
    expect(read()[0]).toMatch(/0\.7 ohm$/);
  }, 60_000);

  it('takes what the meter shows at a key, open probes too', async () => {
    const run = await openAtReading();
    run.press('t');
    await recordedMore(BEFORE_READINGS.length + 1);
    expect(read()[0]).toMatch(/quiet$/);
  }, 60_000);

  it('keeps the step while the link is down, says so, and goes on with it', async () => {
    const run = await openAtReading();
    const asked = flat(run.screen.text()).match(/Probe \S+ \(red\) and \S+ \(black\)/)?.[0];
    await instrument.outage(1200);
    await run.shows(/Meter: open/);
    expect(run.screen.raw).toMatch(/No link to 127\.0\.0\.1:\d+: (connection refused|the meter)/);
    expect(flat(run.screen.text())).toContain(asked);
    await holdUntilRecorded(0.3);
    expect(read()).toEqual([expect.stringMatching(/beep$/)]);
  }, 60_000);

  it('rings once for a value that is recorded, and not at all with --no-sound', async () => {
    const run = await openAtReading();
    await holdUntilRecorded(47_000);
    await run.shows(/Meter: open/);
    expect(run.screen.raw.split('\u0007')).toHaveLength(2);
    run.press('x');
    expect(await run.ends()).toBe(0);
    folder.remove();
    folder = scratchFolder();
    const still = await openAtReading({ args: ['--no-sound'] });
    await holdUntilRecorded(47_000);
    await still.shows(/Meter: open/);
    expect(still.screen.raw).not.toContain('\u0007');
  }, 60_000);

  it.each([50, 80, 200])(
    'fits %i columns, in large letters where they fit',
    async (columns) => {
      const run = await openAtReading({ columns, rows: 24 });
      instrument.probe({ ohms: 0.4, jitter: 0 });
      await run.shows(/Meter: 400 mΩ/);
      expect(run.screen.wrapped).toBe(false);
      expect(run.screen.text()).toMatch(/[▀▄█]/);
      expect(run.screen.text()).toMatch(/^>/m);
    },
    60_000,
  );

  it('writes plain lines for a screen reader, and tells in words what the meter hears', async () => {
    const run = await openAtReading({ args: ['--plain'] });
    await holdUntilRecorded(47_000);
    const text = await run.shows(/The meter showed 47 kΩ/);
    expect(text).toMatch(/Meter: 47 kΩ, hold/);
    expect(text).not.toMatch(/[▀▄█]/);
    expect(run.screen.raw).not.toMatch(DRAWN_OVER);
  }, 60_000);

  it('goes on with a contact when the window changes its size', async () => {
    const run = await openAtReading();
    instrument.probe({ ohms: 10, jitter: 0.5 });
    await run.shows(/not steady/);
    run.resize(100, 35);
    await pause(300);
    instrument.probe({ ohms: 0.2, jitter: 0 });
    await recordedMore(BEFORE_READINGS.length + 1);
    expect(read()).toEqual([expect.stringMatching(/beep$/)]);
  }, 60_000);

  it('rings for a contact that comes to nothing: a voltage on the points', async () => {
    const run = await openAtReading();
    instrument.probe({ ohms: -40, jitter: 0 });
    await run.shows(/far below zero\. Is a charge left/);
    expect(run.screen.raw).toContain('\u0007');
    expect(read()).toEqual([]);
  }, 60_000);

  it('leaves at once, though nobody answers at the link', async () => {
    await instrument.stop();
    const { cwd } = folder;
    call(['start', 'lamp.yaml', '-o', JOB], { cwd });
    const run = openTerminal(['guide', JOB, '--meter', 'tcp://127.0.0.1:1'], { cwd });
    terminal = run;
    await run.shows(/Enter: (more|go on)/);
    run.press('\u0003');
    expect(await run.ends()).toBe(130);
  }, 60_000);
});

describe('a stream of readings in the guided run', () => {
  it('answers from standard input, while the keys come from the terminal', async () => {
    const { cwd } = folder;
    call(['start', 'lamp.yaml', '-o', JOB], { cwd });
    call(['log', JOB, ...BEFORE_READINGS], { cwd });
    const reader = `while :; do echo OL; sleep 0.1; test -e touch && break; done; while :; do echo 0.3 OHM; sleep 0.1; done`;
    const run = openTerminal(['guide', JOB, '--meter', '-'], { cwd, rows: 40, pipedFrom: reader });
    terminal = run;
    await run.shows(/Enter: go on/);
    run.press('\r');
    await run.shows(/Meter: open/);
    spawn('touch', ['touch'], { cwd });
    await recordedMore(BEFORE_READINGS.length + 1);
    expect(read()[0]).toMatch(/beep$/);
    await run.shows(/lift the probes off/);
    run.press('x');
    expect(await run.ends()).toBe(0);
  }, 60_000);

  it('answers from a named pipe', async () => {
    const { cwd } = folder;
    call(['start', 'lamp.yaml', '-o', JOB], { cwd });
    call(['log', JOB, ...BEFORE_READINGS], { cwd });
    await new Promise((done) => spawn('mkfifo', ['port'], { cwd }).on('exit', done));
    const run = openTerminal(['guide', JOB, '--meter', 'lines:port'], { cwd, rows: 40 });
    terminal = run;
    await run.shows(/Enter: go on/);
    const writer = spawn(
      'sh',
      [
        '-c',
        'exec > port; for n in 1 2 3 4 5 6 7 8 9; do echo O.L; sleep 0.1; done; while :; do echo 51 kOHM; sleep 0.1; done',
      ],
      { cwd },
    );
    try {
      run.press('\r');
      await recordedMore(BEFORE_READINGS.length + 1);
      expect(read()[0]).toMatch(/quiet$/);
      await run.shows(/lift the probes off/);
      run.press('x');
      expect(await run.ends()).toBe(0);
    } finally {
      writer.kill();
    }
  }, 60_000);
});
