import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { AWAY_MINUTES, timeSpent } from '../../src/job/time-spent.ts';

const OPENED = '2026-03-02T08:00:00.000Z';

/** Entries that follow each other after so many minutes each. */
function entriesAfter(gaps: readonly number[]) {
  let now = Date.parse(OPENED);
  return gaps.map((gap, k) => {
    now += gap * 60_000;
    return { n: k + 2, at: new Date(now).toISOString() };
  });
}

const gaps = fc.array(fc.integer({ min: 0, max: 600 }), { maxLength: 20 });

describe('time spent', () => {
  test('is nothing before the first entry', () => {
    expect(timeSpent(OPENED, [])).toMatchObject({ minutes: 0, breaks: 0, wholeMinutes: 0 });
  });

  test('leaves out what is longer than the time away, and says so', () => {
    const spent = timeSpent(OPENED, entriesAfter([2, AWAY_MINUTES, AWAY_MINUTES + 1, 900, 3]));
    expect(spent).toMatchObject({ minutes: 35, breaks: 2, awayMinutes: 931, wholeMinutes: 966 });
  });

  test('adds up: what counts and what is left out is the whole', () => {
    fc.assert(
      fc.property(gaps, fc.integer({ min: 1, max: 120 }), (minutes, awayAfter) => {
        const spent = timeSpent(OPENED, entriesAfter(minutes), { awayAfter });
        const whole = minutes.reduce((sum, gap) => sum + gap, 0);
        expect(spent.wholeMinutes).toBeCloseTo(whole, 6);
        expect(spent.minutes).toBeCloseTo(
          minutes.filter((gap) => gap <= awayAfter).reduce((sum, gap) => sum + gap, 0),
          6,
        );
      }),
    );
  });

  test('does not shrink when more time away is allowed', () => {
    fc.assert(
      fc.property(gaps, fc.nat(300), fc.nat(300), (minutes, a, b) => {
        const entries = entriesAfter(minutes);
        const [short, long] = [Math.min(a, b), Math.max(a, b)];
        const few = timeSpent(OPENED, entries, { awayAfter: short }).minutes;
        expect(timeSpent(OPENED, entries, { awayAfter: long }).minutes).toBeGreaterThanOrEqual(few);
      }),
    );
  });

  test('by stage adds up to the whole where every entry has one', () => {
    fc.assert(
      fc.property(gaps, (minutes) => {
        const stageOf = (n: number): string => (n % 3 === 0 ? 'repair' : 'isolate');
        const { byStage, minutes: all } = timeSpent(OPENED, entriesAfter(minutes), { stageOf });
        expect([...byStage.values()].reduce((sum, part) => sum + part, 0)).toBeCloseTo(all, 6);
      }),
    );
  });

  test('counts a long stretch that a soak ran through', () => {
    const entries = entriesAfter([10, 90, 40]);
    const { n } = entries[1] ?? { n: 0 };
    const spent = timeSpent(OPENED, entries, { countsWhole: (one) => one === n });
    expect(spent).toMatchObject({ minutes: 100, breaks: 1, awayMinutes: 40 });
  });

  test('loses nothing to a clock that was set back', () => {
    expect(timeSpent(OPENED, entriesAfter([10, -300, 5])).minutes).toBe(15);
  });

  test('takes a time that cannot be read for no time', () => {
    const entries = [...entriesAfter([4]), { n: 3, at: 'soon' }];
    expect(timeSpent(OPENED, entries).minutes).toBe(4);
  });
});
