import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { loadBoard } from '../../../src/board/load.ts';
import type { Part } from '../../../src/board/model.ts';
import { study } from '../../../src/cli/study.ts';
import { deriveJob } from '../../../src/job/derive.ts';
import { repairList } from '../../../src/job/repair/list.ts';
import { piecesUsed, stagesAhead, waysAhead } from '../../../src/job/shop/ahead.ts';
import { priceBook } from '../../../src/job/shop/prices.ts';
import { DEFAULT_SHOP, type Shop } from '../../../src/job/shop/shop.ts';
import { spreadOf } from '../../../src/job/shop/spread.ts';
import { type WayAhead, type WorthFacts, worthOf } from '../../../src/job/shop/worth.ts';
import { WORK_STAGES, type WorkStage } from '../../../src/job/stage-of.ts';
import type { StageState } from '../../../src/job/stage-rules.ts';
import { advise, analyse, openWorkbench } from '../../../src/steps/advise.ts';
import { WholeJob } from '../../cases/whole-job.ts';
import { LAMP } from '../../cli/scratch.ts';

const { board } = loadBoard(LAMP, 'lamp.yaml');
const part = (name: string): Part => board.partNamed.get(name) as Part;

const SPENT = { minutes: 30, byStage: new Map(), breaks: 0, awayMinutes: 0, wholeMinutes: 30 };
const PRICES = priceBook(
  {
    usual: new Map([
      ['n-mosfet', 3],
      ['ceramic', 0.1],
    ]),
  },
  undefined,
);
const shopWith = (value: number | undefined, rate: number | undefined, upTo = 1): Shop => ({
  ...DEFAULT_SHOP,
  thresholds: { ...DEFAULT_SHOP.thresholds, worthUpTo: upTo },
  boards: new Map(value === undefined ? [] : [[board.name, { value }]]),
  ...(rate === undefined ? {} : { hourlyRate: rate }),
});
const factsWith = (more: Partial<WorthFacts> = {}): WorthFacts => ({
  board: board.name,
  spent: SPENT,
  used: [],
  ahead: [],
  stages: [],
  isStuck: false,
  ...more,
});

const WAYS: readonly WayAhead[] = [
  { weight: 0.6, minutes: 20, parts: [{ part: part('Q1'), count: 1 }] },
  { weight: 0.4, minutes: 60, parts: [{ part: part('D1'), count: 1 }] },
];

describe('the figures', () => {
  test('are minutes at the rate and parts at their price', () => {
    const { whole, spent, left, minutes } = worthOf(
      shopWith(100, 60),
      PRICES,
      factsWith({ used: [part('C2')], ahead: WAYS, stages: [{ stage: 'soak', minutes: 10 }] }),
    );
    expect(spent).toBeCloseTo(30.1);
    expect(minutes.left).toEqual({ low: 30, expected: 46, high: 70 });
    expect(left?.expected).toBeCloseTo(46 + 0.6 * 3);
    expect(whole?.expected).toBeCloseTo(30.1 + 47.8);
    // Minutes and parts of one way go together: 20 min with a transistor, 60 without.
    expect(left?.low).toBeCloseTo(10 + 20 + 3);
    expect(left?.high).toBeCloseTo(10 + 60);
  });

  test('name a part without a price as left out, and never count it as nothing', () => {
    const worth = worthOf(
      shopWith(100, 60),
      PRICES,
      factsWith({ ahead: WAYS, used: [part('D1')] }),
    );
    expect(worth.leavesOut).toEqual({ rate: false, parts: true });
    expect(worth.parts.used).toEqual([{ part: part('D1'), count: 1 }]);
    expect(worth.parts.ahead.map(({ price }) => price?.price)).toEqual([3, undefined]);
  });

  test('are left away where neither rate nor prices are known', () => {
    const none = priceBook({ usual: new Map() }, undefined);
    const worth = worthOf(shopWith(100, undefined), none, factsWith({ ahead: WAYS }));
    expect(worth.whole).toBeUndefined();
    expect(worth.verdict).toBeUndefined();
    expect(worth.minutes.left.expected).toBe(36);
  });

  test('count a part twice that was renewed twice', () => {
    const says = ['remove Q1', 'replace Q1', 'remove Q1', 'replace Q1', 'replace D1'];
    const events = says.map((say, k) => ({ n: k + 2, at: '', say, line: k + 2 }));
    const used = piecesUsed(board.parts, deriveJob(board, events));
    const { parts } = worthOf(shopWith(9, 9), PRICES, factsWith({ used }));
    expect(parts.used.map(({ part: { name }, count }) => [name, count])).toEqual([
      ['D1', 1],
      ['Q1', 2],
    ]);
    expect(parts.usedCost).toBe(6);
  });
});

describe('the verdict', () => {
  const verdict = (value: number, upTo = 1, more: Partial<WorthFacts> = {}) =>
    worthOf(shopWith(value, 60, upTo), PRICES, factsWith({ ahead: WAYS, ...more })).verdict;

  test.each([
    [1000, 'within'],
    [91, 'within'],
    [80, 'may pass'],
    [60, 'heading beyond'],
    [20, 'beyond'],
  ] as const)('on a board worth %d is %s', (value, expected) => {
    expect(verdict(value)).toBe(expected);
  });

  test('goes by the share of the value that may be spent', () => {
    expect(verdict(100, 1)).toBe('within');
    expect(verdict(100, 0.6)).toBe('heading beyond');
  });

  test('is never that all is well while nobody knows how to go on', () => {
    expect(verdict(1000, 1, { isStuck: true })).toBe('may pass');
  });

  test('gets no better as a board is worth less', () => {
    const order = ['within', 'may pass', 'heading beyond', 'beyond'];
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 300 }), fc.integer({ min: 1, max: 300 }), (a, b) => {
        const rank = (value: number): number => order.indexOf(verdict(value) ?? '');
        expect(rank(Math.min(a, b))).toBeGreaterThanOrEqual(rank(Math.max(a, b)));
      }),
    );
  });
});

test('a spread holds its mean, and nine in ten lie on either side of its bounds', () => {
  const row = fc.record({
    weight: fc.double({ min: 0.001, max: 1, noNaN: true }),
    figure: fc.double({ min: 0, max: 1e4, noNaN: true }),
  });
  fc.assert(
    fc.property(fc.array(row, { minLength: 1, maxLength: 30 }), (rows) => {
      const { low, expected, high } = spreadOf(rows);
      const total = rows.reduce((sum, { weight }) => sum + weight, 0);
      const share = (holds: (figure: number) => boolean): number =>
        rows.filter(({ figure }) => holds(figure)).reduce((sum, { weight }) => sum + weight, 0) /
        total;
      expect(low).toBeLessThanOrEqual(expected);
      expect(expected).toBeLessThanOrEqual(high);
      expect(share((figure) => figure < low)).toBeLessThanOrEqual(0.1 + 1e-6);
      expect(share((figure) => figure > high)).toBeLessThanOrEqual(0.1 + 1e-6);
    }),
  );
});

describe('the work ahead', () => {
  const workbench = openWorkbench(board);
  const jobOf = (says: readonly string[]) =>
    deriveJob(
      board,
      says.map((say, k) => ({ n: k + 2, at: '', say, line: k + 2 })),
    );
  const waysOf = (says: readonly string[]) => {
    const job = jobOf(says);
    const analysis = analyse(workbench, job.evidence);
    const advice = advise(analysis);
    return { advice, ways: waysAhead(analysis, advice, repairList(analysis, job, 'repair')) };
  };

  test('takes the minutes that the next step says, on average, while nothing is off the board', () => {
    for (const says of [[], ['P24 GND beep'], ['P24 GND beep', 'P24_LAMP GND beep']]) {
      const { advice, ways } = waysOf(says);
      const weight = ways.reduce((sum, way) => sum + way.weight, 0);
      const minutes = ways.reduce((sum, way) => sum + way.weight * way.minutes, 0);
      expect(weight).toBeCloseTo(1, 9);
      expect(minutes).toBeGreaterThanOrEqual(advice.minutesLeft - 1e-9);
      expect(minutes).toBeLessThan(advice.minutesLeft + 25);
    }
  });

  test('puts back what lies beside the board', () => {
    const before = waysOf(['P24 GND beep', 'P24_LAMP GND beep']).ways;
    const out = waysOf(['P24 GND beep', 'P24_LAMP GND beep', 'remove J2']).ways;
    const mean = (ways: readonly WayAhead[]): number =>
      ways.reduce((sum, way) => sum + way.weight * way.minutes, 0);
    expect(mean(out)).toBeGreaterThan(mean(before) + 1);
  });

  test('of a refurbishment renews what is due, whatever the readings say', () => {
    const job = jobOf(['P24 GND quiet']);
    const analysis = analyse(workbench, job.evidence);
    const dueIn = (purpose: 'repair' | 'refurbish'): string[] => {
      const list = repairList(analysis, job, purpose);
      const ways = waysAhead(analysis, advise(analysis), list);
      return board.parts
        .filter((each) => ways.every(({ parts }) => parts.some((p) => p.part === each)))
        .map(({ name }) => name);
    };
    expect(dueIn('repair')).toEqual([]);
    expect(dueIn('refurbish')).toEqual(['C1']);
  });

  test('names the stages still to come, and none that is over or left out', () => {
    const stages = (
      states: Partial<Record<WorkStage, StageState>>,
      current: WorkStage,
    ): readonly string[] =>
      stagesAhead(
        WORK_STAGES.map((stage) => ({ stage, state: states[stage] ?? 'not begun' })),
        current,
        DEFAULT_SHOP.stageTimes,
      ).map(({ stage }) => stage);
    const all = ['intake', 'look-over', 'touch-up', 'power-up', 'soak', 'sign-off'];
    expect(stages({}, 'intake')).toEqual(all);
    expect(stages({ intake: 'under way', 'look-over': 'done' }, 'isolate')).toEqual(all.slice(2));
    expect(stages({ 'look-over': 'held up', 'touch-up': 'skipped' }, 'repair')).toEqual([
      'look-over',
      ...all.slice(3),
    ]);
    const over = Object.fromEntries(WORK_STAGES.map((stage) => [stage, 'done' as const]));
    expect(stages(over, 'sign-off')).toEqual([]);
  });

  test('shrinks to nothing as a job is led to its end', () => {
    const job = new WholeJob(board, 'repair', [{ part: 'D1', mode: 'short' }]);
    const left = (): number => {
      const known = study(board, job.derived.evidence);
      const { stages, stage } = job.standing();
      const list = repairList(known.analysis, job.derived, 'repair');
      const ways = waysAhead(known.analysis, known.advice().raw, list);
      const ahead = stagesAhead(stages, stage, DEFAULT_SHOP.stageTimes);
      return (
        ways.reduce((sum, { weight, minutes }) => sum + weight * minutes, 0) +
        ahead.reduce((sum, { minutes }) => sum + minutes, 0)
      );
    };
    const atFirst = left();
    job.until('power');
    const atPower = left();
    job.until('sign-off').step();
    expect(atFirst).toBeGreaterThan(atPower + 20);
    expect(atPower).toBeGreaterThanOrEqual(25);
    expect(left()).toBe(0);
  });
});
