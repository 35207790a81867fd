import fc from 'fast-check';
import { expect, it } from 'vitest';
import { Clock, DEFAULT_BENCH_TIMES } from '../../src/steps/bench-times.ts';
import type { Candidates, TakingOut } from '../../src/steps/candidates.ts';
import type { Hypothesis } from '../../src/steps/hypotheses.ts';
import { SearchMinutes } from '../../src/steps/search-minutes.ts';
import { shippedBoard } from '../cases/bench.ts';

interface One {
  readonly weight: number;
  readonly minutes: number;
  readonly undo: number;
  readonly ahead: number;
}

const board = shippedBoard('bench-flyback');
const clock = new Clock(board, DEFAULT_BENCH_TIMES);

/** Each repair means one part, the one of its own number. */
function minutesOf(all: readonly One[]): number {
  const hypotheses = all.map(({ weight }, part): Hypothesis => {
    const unit = { key: `part:${part}`, what: 'part' as const, parts: [part], choice: false };
    const units = [{ ...unit, comesOff: true, fault: part }];
    return { weight, faults: [part], accused: [part], units, key: unit.key, choiceEntropy: 0 };
  });
  const takingOut = ([part]: readonly number[]): TakingOut => {
    const { minutes, undo, ahead } = all[part as number] as One;
    return { state: undefined as never, minutes, undoMinutes: undo, aheadMinutes: ahead };
  };
  const search = new SearchMinutes(hypotheses, { takingOut } as unknown as Candidates, clock);
  return search.minutes(hypotheses, []);
}

/** The same in a given order. */
function inOrder(order: readonly One[]): number {
  let spent = 0;
  let sum = 0;
  order.forEach(({ weight, minutes, undo, ahead }, k) => {
    sum += weight * (spent + (k === order.length - 1 ? 0 : ahead));
    spent += minutes + undo;
  });
  return sum;
}

function orders<T>(all: readonly T[]): T[][] {
  if (all.length < 2) return [[...all]];
  return all.flatMap((one, k) =>
    orders([...all.slice(0, k), ...all.slice(k + 1)]).map((rest) => [one, ...rest]),
  );
}

const some = (min: number, max: number) => fc.double({ min, max, noNaN: true });

it('trying repairs one after the other takes no more than in any other order', () => {
  const one = fc.record({
    weight: some(0.01, 1),
    minutes: some(0.5, 10),
    undo: some(0, 10),
    ahead: fc.constant(0),
  });
  fc.assert(
    fc.property(fc.array(one, { minLength: 1, maxLength: 5 }), (all) => {
      const least = Math.min(...orders(all).map(inOrder));
      expect(minutesOf(all)).toBeCloseTo(least, 6);
    }),
  );
});

it('nothing is left to find when one repair stands', () => {
  expect(minutesOf([{ weight: 1, minutes: 3, undo: 2, ahead: 1 }])).toBe(0);
});
