import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Ear, type EarSettings, FRESH_EAR, hear } from '../../../src/bench/meter/ear.ts';
import type { FeedEvent } from '../../../src/bench/meter/feed.ts';
import { openFrom } from '../../../src/bench/meter/judge.ts';
import { COMMON_HANDHELD } from '../../../src/circuit/meter.ts';

const OHMS: EarSettings = { mode: 'ohms', beepOhms: 30, leadOhms: 0.2, holdMs: 0 };
const BEEPER: EarSettings = { ...OHMS, mode: 'continuity' };

/** What the probes are on, and for how long, ms. */
type Stretch = readonly [ohms: number | 'open' | 'gap', ms: number];

/** A meter of so many readings a second, each vouched for. */
function events(stretches: readonly Stretch[], mode: EarSettings['mode'], every = 50): FeedEvent[] {
  const all: FeedEvent[] = [];
  let at = 0;
  for (const [what, ms] of stretches) {
    if (what === 'gap') {
      at += ms;
      all.push({ kind: 'gap', at });
      continue;
    }
    for (const end = at + ms; at < end; at += every) {
      const sample =
        what === 'open' ? ({ kind: 'over' } as const) : ({ kind: 'figure', number: what } as const);
      all.push({ kind: 'sample', at, mode, sample }, { kind: 'vouch', at });
    }
  }
  return all;
}

function listen(stretches: readonly Stretch[], settings: EarSettings, every?: number): Ear {
  return events(stretches, settings.mode, every).reduce<Ear>(
    (ear, event) => hear(ear, event, settings),
    FRESH_EAR,
  );
}

const OPEN: Stretch = ['open', 400];
const TAP: readonly Stretch[] = [
  [0.2, 200],
  ['open', 200],
];

describe('an ear on the probes', () => {
  it('takes a value that stands, once the probes had left the last points', () => {
    expect(listen([[12, 2000]], OHMS).phase).toBe('leaving');
    expect(listen([OPEN, [12, 2000]], OHMS).value).toEqual({ kind: 'ohms', ohms: 12 });
  });

  it('keeps waiting while a value has not stood long enough', () => {
    expect(listen([OPEN, [12, 400]], OHMS).phase).toBe('touching');
  });

  it.each([5, 50, 300, 900])('takes it from a reading every %i ms', (every) => {
    expect(
      listen(
        [
          ['open', 3000],
          [12, 4000],
        ],
        OHMS,
        every,
      ).value,
    ).toEqual({ kind: 'ohms', ohms: 12 });
  });

  it('takes no value from one slow reading', () => {
    expect(
      listen(
        [
          ['open', 3000],
          [12, 1800],
        ],
        OHMS,
        900,
      ).phase,
    ).not.toBe('taken');
  });

  it('waits for a charging capacitor to settle, and as long as the step says', () => {
    const climb: Stretch[] = Array.from({ length: 40 }, (_, n) => [10 * (n + 1), 50]);
    expect(listen([OPEN, ...climb], OHMS).phase).toBe('touching');
    const settings = { ...OHMS, holdMs: 4000 };
    expect(listen([OPEN, ...climb, [400, 1500]], settings).phase).toBe('touching');
    expect(listen([OPEN, ...climb, [400, 2200]], settings).value).toEqual({
      kind: 'ohms',
      ohms: 400,
    });
  });

  it('takes a beep only when it outlasts the charging, a quiet at once', () => {
    const settings = { ...BEEPER, holdMs: 3000 };
    expect(listen([OPEN, [5, 2500]], settings).phase).toBe('touching');
    expect(listen([OPEN, [5, 3200]], settings).value).toEqual({ kind: 'beep' });
    expect(listen([OPEN, [5, 2000], [90, 700]], settings).value).toEqual({ kind: 'quiet' });
  });

  it('takes no side while readings lie about the threshold', () => {
    const about: Stretch[] = Array.from({ length: 60 }, (_, n) => [n % 2 === 0 ? 28 : 32, 50]);
    expect(listen([OPEN, ...about], BEEPER).phase).toBe('touching');
  });

  it('takes fingers and mats for open probes where a beeper is asked for', () => {
    const settings = { ...BEEPER, openFrom: openFrom('continuity', COMMON_HANDHELD) };
    expect(listen([OPEN, [2.2e6, 3000]], settings).phase).toBe('open');
  });

  it('takes gigohms for open probes, where the meter, by its figures, would show none', () => {
    const settings = { ...OHMS, openFrom: openFrom('ohms', COMMON_HANDHELD) };
    expect(
      listen(
        [
          [3e9, 400],
          [12, 2000],
        ],
        settings,
      ).value,
    ).toEqual({ kind: 'ohms', ohms: 12 });
    expect(
      listen(
        [
          [3e9, 400],
          [30e6, 2000],
        ],
        settings,
      ).value,
    ).toEqual({ kind: 'ohms', ohms: 30e6 });
    expect(openFrom('diode', COMMON_HANDHELD)).toBe(2);
    expect(openFrom('millivolts', COMMON_HANDHELD)).toBe(Number.POSITIVE_INFINITY);
  });

  it('takes nothing from points under a voltage', () => {
    expect(listen([OPEN, [-40, 3000]], OHMS).phase).toBe('touching');
    expect(listen([OPEN, [-40, 3000]], BEEPER).phase).toBe('touching');
    expect(listen([OPEN, [-0.05, 3000]], OHMS).value).toEqual({ kind: 'ohms', ohms: 0 });
  });

  it('tells points that read open from probes in the air by two taps of the tips', () => {
    expect(listen([['open', 60_000]], OHMS).phase).toBe('open');
    expect(listen([OPEN, ...TAP, ...TAP, ['open', 1800]], OHMS).value).toEqual({ kind: 'over' });
    expect(listen([OPEN, ...TAP, ...TAP, ['open', 1800]], BEEPER).value).toEqual({ kind: 'quiet' });
  });

  it('takes one tap, slow taps, or taps followed by another touch for nothing', () => {
    expect(listen([OPEN, ...TAP, ['open', 5000]], OHMS).phase).toBe('open');
    expect(listen([OPEN, ...TAP, ['open', 2000], ...TAP, ['open', 5000]], OHMS).phase).toBe('open');
    expect(
      listen([OPEN, ...TAP, ...TAP, ['open', 500], [700, 300], ['open', 5000]], OHMS).phase,
    ).toBe('open');
    const brush: Stretch[] = [
      [47, 200],
      ['open', 200],
      [47, 200],
      ['open', 5000],
    ];
    expect(listen([OPEN, ...brush], OHMS).phase).toBe('open');
  });

  it('begins anew after a gap, without a new release of the probes', () => {
    expect(listen([OPEN, [12, 300], ['gap', 100], [12, 300]], OHMS).phase).toBe('touching');
    expect(listen([OPEN, [12, 300], ['gap', 100], [12, 700]], OHMS).phase).toBe('taken');
    expect(
      listen(
        [
          [12, 700],
          ['gap', 100],
          [12, 700],
        ],
        OHMS,
      ).phase,
    ).toBe('leaving');
  });

  it('makes no tap of a contact whose beginning a gap hid', () => {
    const cut: Stretch[] = [
      [0.2, 200],
      ['gap', 50],
      [0.2, 100],
      ['open', 200],
    ];
    expect(listen([OPEN, ...TAP, ...cut, ['open', 3000]], OHMS).phase).toBe('open');
  });

  it('passes over samples of another mode', () => {
    const mixed = events([OPEN, [12, 2000]], 'diode');
    const ear = mixed.reduce<Ear>((before, event) => hear(before, event, OHMS), FRESH_EAR);
    expect(ear).toEqual(FRESH_EAR);
  });

  it('reads diodes in volts', () => {
    const diode = { ...OHMS, mode: 'diode' } as const;
    expect(listen([OPEN, [0.5234, 1000]], diode).value).toEqual({ kind: 'volts', volts: 0.5234 });
    const taps: Stretch[] = [
      [0.001, 100],
      ['open', 100],
      [0.001, 100],
      ['open', 2000],
    ];
    expect(listen([OPEN, ...taps], diode).value).toEqual({ kind: 'over' });
  });
});

describe('whatever the probes do', () => {
  const stretch: fc.Arbitrary<Stretch> = fc.tuple(
    fc.oneof(
      fc.constantFrom<'open' | 'gap'>('open', 'gap'),
      fc.constantFrom(0.2, 12, 29.9, 700, 5e5),
    ),
    fc.integer({ min: 20, max: 1500 }),
  );

  it('a value taken stood on the points, without a break, after the probes were open', () => {
    fc.assert(
      fc.property(
        fc.array(stretch, { maxLength: 12 }),
        fc.integer({ min: 10, max: 200 }),
        (all, every) => {
          const ear = listen(all, OHMS, every);
          if (ear.phase !== 'taken') return;
          const openAt = all.findIndex(([what]) => what === 'open');
          expect(openAt).toBeGreaterThanOrEqual(0);
          if (ear.value?.kind !== 'ohms') {
            expect(all.filter(([what]) => what === 0.2).length).toBeGreaterThanOrEqual(2);
            return;
          }
          const { ohms } = ear.value;
          const runs = all.map(([what, ms], index) => {
            let total = 0;
            for (let at = index; at < all.length && all[at]?.[0] === what; at += 1)
              total += all[at]?.[1] ?? 0;
            return what === ohms && index > openAt ? total : ms * 0;
          });
          // Counted from the first sample to the last: at most one interval is missing at each end.
          expect(Math.max(...runs)).toBeGreaterThan(500 - every);
        },
      ),
      { numRuns: 500 },
    );
  });
});
