import fc from 'fast-check';
import { expect, test } from 'vitest';
import { PairIndex, type SurveyMode } from '../../src/steps/pair-index.ts';

const net = fc.integer({ min: 0, max: 90 });
const mode = fc.constantFrom<SurveyMode>('continuity', 'ohms');
const asked = fc.array(fc.tuple(mode, net, net), { maxLength: 4000, size: 'max' });

test('pairs are numbered in the order in which they are first asked for, either way round', () => {
  fc.assert(
    fc.property(asked, (pairs) => {
      const index = new PairIndex();
      const places = new Map<string, number>();
      for (const [how, a, b] of pairs) {
        const key = `${how} ${Math.min(a, b)} ${Math.max(a, b)}`;
        expect(index.find(how, b, a)).toBe(places.get(key) ?? -1);
        const place = places.get(key) ?? places.size;
        places.set(key, place);
        expect(index.place(how, a, b)).toBe(place);
        const probe = { mode: how, red: { net: Math.min(a, b) }, black: { net: Math.max(a, b) } };
        expect(index.probe(place)).toEqual(probe);
      }
      expect(index.size).toBe(places.size);
    }),
    { numRuns: 20 },
  );
});

test('what is added to an index after it was copied, or to the copy, the other does not have', () => {
  const first = new PairIndex();
  first.place('ohms', 1, 2);
  const copy = first.copy();
  const another = copy.copy();
  expect(copy.place('ohms', 2, 1)).toBe(0);
  expect(first.place('ohms', 1, 3)).toBe(1);
  expect(copy.place('continuity', 1, 2)).toBe(1);
  expect([first, copy, another].map(({ size }) => size)).toEqual([2, 2, 1]);
  expect(first.find('continuity', 1, 2)).toBe(-1);
  expect(copy.find('ohms', 1, 3)).toBe(-1);
  expect(another.find('ohms', 1, 2)).toBe(0);
});
