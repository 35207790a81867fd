import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import type { EarSettings } from '../../../src/bench/meter/ear.ts';
import type { FeedStatus } from '../../../src/bench/meter/feed.ts';
import { ScpiMeter } from '../../../src/bench/meter/scpi-meter.ts';
import { type Deed, readings, takeReadings } from './hand.ts';
import { type Habits, Instrument, type Mishap, pause, scientific } from './instrument.ts';

/** Ten times as quick as a person; the instrument is too. */
const PACE = 0.1;
const QUICK = {
  connect: 500,
  answer: 150,
  readEvery: 0,
  vouchEvery: 15,
  backOffLeast: 5,
  backOffMost: 40,
};
const OHMS: EarSettings = { mode: 'ohms', beepOhms: 30, leadOhms: 0.2, holdMs: 0, pace: PACE };
const BEEPER: EarSettings = { ...OHMS, mode: 'continuity' };

let instrument: Instrument | undefined;
let meter: ScpiMeter | undefined;

afterEach(async () => {
  meter?.close();
  await instrument?.stop();
});

interface Bench {
  readonly meter: ScpiMeter;
  readonly instrument: Instrument;
  readonly statuses: FeedStatus[];
}

async function open(habits: Partial<Habits> = {}): Promise<Bench> {
  const made = new Instrument(habits);
  instrument = made;
  await made.start();
  const feed = new ScpiMeter({ host: '127.0.0.1', port: made.port }, QUICK);
  meter = feed;
  const statuses: FeedStatus[] = [];
  feed.listen((event) => {
    if (event.kind === 'status') statuses.push(event.status);
  });
  return { meter: feed, instrument: made, statuses };
}

/** Numbers and overloads taken, as values. */
async function taken(
  bench: Bench,
  deeds: readonly Deed[],
  settings: EarSettings = OHMS,
): Promise<(number | string)[]> {
  const ears = await takeReadings(bench.meter, bench.instrument, settings, deeds);
  return ears.map(({ value }) => {
    if (value?.kind === 'ohms') return value.ohms;
    if (value?.kind === 'volts') return value.volts;
    return value?.kind ?? 'nothing';
  });
}

function near(values: readonly (number | string)[], wanted: readonly (number | string)[]): void {
  expect(values.map((value) => typeof value)).toEqual(wanted.map((value) => typeof value));
  values.forEach((value, index) => {
    const want = wanted[index];
    if (typeof value !== 'number' || typeof want !== 'number') expect(value).toBe(want);
    else expect(Math.abs(value - want)).toBeLessThanOrEqual(0.005 * want + 1e-4);
  });
}

const DEEDS: readonly Deed[] = [
  { kind: 'hold', points: { ohms: 0.412 } },
  { kind: 'hold', points: { ohms: 12_000 } },
  { kind: 'hold', points: { ohms: 12_000 } },
];
const VALUES = [0.412, 12_000, 12_000];

describe('a bench meter over raw TCP', () => {
  it('gives each value that stood steady once, also when the same comes twice', async () => {
    near(await taken(await open(), DEEDS), VALUES);
  });

  it('hears open probes between readings, and two taps of the tips for points that read open', async () => {
    const deeds: Deed[] = [
      { kind: 'open' },
      { kind: 'hold', points: { ohms: 5 } },
      { kind: 'open' },
    ];
    near(await taken(await open(), deeds), ['over', 5, 'over']);
  });

  it('passes over points brushed on the way and hands that shake', async () => {
    const deeds: Deed[] = [
      { kind: 'brush', points: { ohms: 80 } },
      { kind: 'shake', points: { ohms: 700 } },
      { kind: 'hold', points: { ohms: 33 } },
    ];
    near(await taken(await open(), deeds), [33]);
  });

  it('takes continuity as ohms against a threshold of its own', async () => {
    const bench = await open();
    const deeds: Deed[] = [
      { kind: 'hold', points: { ohms: 29 } },
      { kind: 'hold', points: { ohms: 31 } },
      { kind: 'open' },
    ];
    expect(await taken(bench, deeds, BEEPER)).toEqual(['beep', 'quiet', 'quiet']);
    expect(bench.instrument.function).toBe('RES');
  });

  it('sets the mode that is wanted', async () => {
    const bench = await open();
    const volts: Deed[] = [{ kind: 'hold', points: { ohms: 5e5, volts: 0.52 } }];
    near(await taken(bench, volts, { ...OHMS, mode: 'diode' }), [0.52]);
    expect(bench.instrument.function).toBe('DIOD');
    near(
      await taken(bench, [{ kind: 'hold', points: { ohms: 0.0123 } }], {
        ...OHMS,
        mode: 'four-wire',
      }),
      [0.0123],
    );
    expect(bench.instrument.function).toBe('FRES');
  });

  it.each<[string, Partial<Habits>]>([
    ['answers that end in CR LF', { ending: '\r\n' }],
    ['answers that arrive byte by byte', { inPieces: true }],
    ['slow answers', { answerMs: 30 }],
    ['OVLD for an overload', { overload: 'OVLD' }],
    ['OL', { overload: 'OL' }],
    [
      'OVLOAD with a unit',
      { overload: 'OVLOAD OHM', figure: (x, unit) => `${x.toFixed(4)} ${unit}` },
    ],
    ['a sense function in place of CONFigure', { knows: 'function' }],
    ['nothing but MEASure', { knows: 'measure' }],
    ['an identity in free words', { identity: 'Bench meter of our own' }],
    ['figures with an ohm sign', { figure: (x, unit) => `${x} ${unit === 'V' ? 'V' : 'Ω'}` }],
    ['figures with a unit behind a comma', { figure: (x, unit) => `${scientific(x)},${unit}` }],
  ])('copes with %s', async (_, habits) => {
    const deeds: Deed[] = [...DEEDS, { kind: 'open' }];
    const bench = await open(habits);
    near(await taken(bench, deeds), [...VALUES, 'over']);
    expect(bench.instrument.overlaps).toBe(0);
  });

  it.each<Mishap>([
    'late',
    'never',
    'twice',
    'twice later',
    'cut in mid-reply',
    'garbage first',
    'garbage instead',
    'endless line first',
    'error entry',
    'outage',
  ])(
    'loses nothing and takes nothing twice when now and then an answer goes wrong: %s',
    async (mishap) => {
      const bench = await open();
      let count = 0;
      bench.instrument.mishap = () => {
        count += 1;
        return count % 97 === 0 ? mishap : undefined;
      };
      near(await taken(bench, [...DEEDS, { kind: 'open' }, ...DEEDS]), [
        ...VALUES,
        'over',
        ...VALUES,
      ]);
      expect(bench.instrument.hasStrayed ? 0 : bench.instrument.overlaps).toBe(0);
    },
  );

  it('takes no overload that stands for an error', async () => {
    const bench = await open();
    const { instrument: at } = bench;
    bench.meter.want('ohms');
    await readings(at, 3);
    let heard = 0;
    bench.meter.listen((event) => {
      if (event.kind === 'vouch') heard += 1;
    });
    at.mishap = (query) => (query === 'READ?' ? 'error entry' : undefined);
    const from = heard;
    await readings(at, 8);
    expect(heard - from).toBeLessThanOrEqual(1);
    expect(
      bench.statuses.some(({ text }) => /error -230, "Data corrupt or stale"/.test(text)),
    ).toBe(true);
  });

  it('says that a mode cannot be set, and goes on in another', async () => {
    const bench = await open();
    bench.meter.want('low-voltage');
    while (bench.meter.status.state !== 'lacks') await pause(1);
    expect(bench.meter.status.text).toMatch(/low-voltage: type what it shows/);
    near(await taken(bench, DEEDS), VALUES);
  });

  it('works with an instrument that has no error queue', async () => {
    const bench = await open({ hasErrorQueue: false });
    near(await taken(bench, DEEDS), VALUES);
  });

  it('tells a refused connection, tries again, and goes on where it was', async () => {
    const bench = await open();
    const { instrument: at } = bench;
    const values = taken(bench, DEEDS);
    await readings(at, 5);
    const connections = at.connections;
    await at.outage(80);
    near(await values, VALUES);
    expect(at.connections).toBeGreaterThan(connections);
    expect(bench.statuses.map(({ state }) => state)).toContain('lost');
    expect(bench.statuses.some(({ text }) => /refused|closed|cut/.test(text))).toBe(true);
  });

  it('never shows what could move a cursor or ring a bell', async () => {
    const bench = await open({ identity: 'Evil\u001b[2J\u0007,\u202eModel,1,2' });
    bench.instrument.mishap = (query) => (query === 'READ?' ? 'garbage instead' : undefined);
    bench.meter.want('ohms');
    await readings(bench.instrument, 6);
    await pause(20);
    expect(bench.statuses.some(({ state }) => state === 'complains')).toBe(true);
    for (const { text } of bench.statuses) expect(text).not.toMatch(/[\p{Cc}\u202e]/u);
  });

  it('ends at once when it is closed, also while nobody answers', async () => {
    const nobody = new ScpiMeter({ host: '127.0.0.1', port: 1 }, { backOffLeast: 60_000 });
    while (nobody.status.state !== 'lost') await pause(1);
    nobody.close();
    const bench = await open();
    bench.meter.want('ohms');
    await readings(bench.instrument, 2);
    bench.meter.close();
    const from = bench.instrument.readings;
    await pause(60);
    expect(bench.instrument.readings).toBeLessThanOrEqual(from + 1);
  });
});

describe('whatever an instrument does', () => {
  const mishaps: readonly Mishap[] = [
    'late',
    'never',
    'twice',
    'twice later',
    'cut in mid-reply',
    'garbage first',
    'garbage instead',
    'endless line first',
    'error entry',
    'outage',
  ];
  const points = fc.record({ ohms: fc.double({ min: 3, max: 9e6, noNaN: true }) });
  const deed: fc.Arbitrary<Deed> = fc.oneof(
    { weight: 4, arbitrary: points.map((each): Deed => ({ kind: 'hold', points: each })) },
    { weight: 1, arbitrary: fc.constant<Deed>({ kind: 'open' }) },
    { weight: 1, arbitrary: points.map((each): Deed => ({ kind: 'brush', points: each })) },
    { weight: 1, arbitrary: points.map((each): Deed => ({ kind: 'shake', points: each })) },
  );
  const habits = fc.record({
    ending: fc.constantFrom<'\n' | '\r\n'>('\n', '\r\n'),
    overload: fc.constantFrom('+9.90000000E+37', '9.9E37', 'OVLD', 'OL', 'O.L OHM'),
    knows: fc.constantFrom<Habits['knows']>('configure', 'function', 'measure'),
    inPieces: fc.boolean(),
    answerMs: fc.integer({ min: 0, max: 6 }),
  });

  /** Answers that go well between two mishaps; a reading must have a chance to stand. */
  const after = fc.integer({ min: 60, max: 200 });

  function from(plan: Iterator<{ after: number; mishap: Mishap }>): () => Mishap | undefined {
    let next = plan.next().value;
    let count = 0;
    return () => {
      count += 1;
      if (count < next.after) return undefined;
      const { mishap } = next;
      next = plan.next().value;
      count = 0;
      return mishap;
    };
  }

  it('takes the values that stood on the probes, in order, none twice, none lost', async () => {
    await fc.assert(
      fc.asyncProperty(
        habits,
        fc.array(deed, { minLength: 1, maxLength: 4 }),
        fc.infiniteStream(fc.record({ after, mishap: fc.constantFrom(...mishaps) })),
        async (ways, deeds, plan) => {
          const bench = await open(ways);
          bench.instrument.mishap = from(plan);
          const wanted = deeds.flatMap((each): (number | string)[] => {
            if (each.kind === 'hold') return [each.points.ohms];
            return each.kind === 'open' ? ['over'] : [];
          });
          const values = await taken(bench, deeds);
          bench.meter.close();
          await bench.instrument.stop();
          near(values, wanted);
          expect(bench.instrument.hasStrayed ? 0 : bench.instrument.overlaps).toBe(0);
        },
      ),
      { numRuns: 12, endOnFailure: true },
    );
  }, 120_000);
});
