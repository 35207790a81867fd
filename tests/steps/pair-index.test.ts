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
