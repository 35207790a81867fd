import fc from 'fast-check';
import { expect, it } from 'vitest';
import { BestFirst } from '../../../src/steps/mapping/best-first.ts';

it('draws in the order a stable sort by worth gives, each number once', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 0, max: 9 })), (list) => {
      const worth = Float64Array.from(list);
      const numbers = list.map((_, number) => number);
      const best = new BestFirst(worth, Int32Array.from(numbers.toReversed()));
      const drawn = numbers.map(() => best.draw());
      expect(drawn).toEqual(numbers.toSorted((a, b) => list[b]! - list[a]!));
      expect(best.draw()).toBeUndefined();
    }),
  );
});
