import fc from 'fast-check';
import { expect, test } from 'vitest';
import { Search, type SearchCost } from '../../../src/steps/copper/narrowing.ts';

const suspect = fc.record({
  wasted: fc.double({ min: 0.1, max: 20, noNaN: true }),
  ahead: fc.constant(0),
  weight: fc.double({ min: 0.01, max: 1, noNaN: true }),
});

/** Minutes wasted, as expected, by trying suspects in an order. */
function minutesIn(order: readonly (SearchCost & { readonly weight: number })[]): number {
  let [spent, minutes] = [0, 0];
  const total = order.reduce((sum, { weight }) => sum + weight, 0);
  for (const { wasted, weight } of order) {
    minutes += (weight / total) * spent;
    spent += wasted;
  }
  return minutes;
}

function* ordersOf<T>(all: readonly T[]): Generator<T[]> {
  if (all.length === 0) yield [];
  for (const [k, one] of all.entries()) {
    for (const rest of ordersOf(all.toSpliced(k, 1))) yield [one, ...rest];
  }
}

test('no order of trying suspects wastes fewer minutes than the one a search is valued by', () => {
  fc.assert(
    fc.property(
      fc.array(suspect, { minLength: 1, maxLength: 6 }),
      fc.array(fc.double({ min: 0.01, max: 1, noNaN: true }), { minLength: 6, maxLength: 6 }),
      (suspects, others) => {
        const search = new Search(suspects);
        // What was asked before leaves an order behind that must not matter.
        search.narrowed(Float64Array.from(suspects, (_, k) => others[k]!));
        const { minutes } = search.narrowed(Float64Array.from(suspects, ({ weight }) => weight));
        const best = Math.min(...[...ordersOf(suspects)].map(minutesIn));
        expect(minutes).toBeCloseTo(best, 9);
      },
    ),
    { numRuns: 60 },
  );
});

test('doubt is none where one suspect has all the weight, and greatest where all have the same', () => {
  const search = new Search(Array.from({ length: 4 }, () => ({ wasted: 2, ahead: 1 })));
  expect(search.narrowed(Float64Array.of(1, 0, 0, 0))).toEqual({ minutes: 0, doubt: 0 });
  expect(search.narrowed(Float64Array.of(3, 3, 3, 3)).doubt).toBeCloseTo(Math.log(4), 12);
});
