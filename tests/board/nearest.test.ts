import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { editDistance, nearest } from '../../src/board/nearest.ts';

describe('nearest', () => {
  const words = ['resistor', 'n-mosfet', 'p-mosfet', 'GND', 'P48', 'P48_FAN'];

  test.each([
    ['resitsor', 'resistor'],
    ['reistor', 'resistor'],
    ['RESISTOR', 'resistor'],
    ['n-mosfte', 'n-mosfet'],
    ['GNT', 'GND'],
    ['P84', 'P48'],
    ['gnd', 'GND'],
  ])('takes %s for %s', (word, meant) => {
    expect(nearest(word, words)).toBe(meant);
  });

  test.each(['capacitor', 'X', '', 'XYZ', 'a'.repeat(5000)])(
    'takes %j for nothing known',
    (word) => {
      expect(nearest(word, words)).toBeUndefined();
    },
  );

  test('takes the first of two that are equally near', () => {
    expect(nearest('x-mosfet', words)).toBe('n-mosfet');
  });
});

describe('editDistance', () => {
  const word = fc.string({ maxLength: 8, unit: fc.constantFrom('a', 'b', 'c') });
  const limit = 99;

  test('swapped neighbours count one', () => {
    expect(editDistance('abcd', 'abdc', limit)).toBe(1);
    expect(editDistance('ab', 'ba', limit)).toBe(1);
  });

  test('is nothing for equal words, and the same both ways', () => {
    fc.assert(
      fc.property(word, word, (a, b) => {
        expect(editDistance(a, a, limit)).toBe(0);
        expect(editDistance(a, b, limit)).toBe(editDistance(b, a, limit));
        if (a !== b) expect(editDistance(a, b, limit)).toBeGreaterThan(0);
      }),
    );
  });

  test('lies between the difference in length and the longer length', () => {
    fc.assert(
      fc.property(word, word, (a, b) => {
        const distance = editDistance(a, b, limit);
        expect(distance).toBeGreaterThanOrEqual(Math.abs(a.length - b.length));
        expect(distance).toBeLessThanOrEqual(Math.max(a.length, b.length));
      }),
    );
  });

  test('a limit cuts the distance off and changes nothing below it', () => {
    fc.assert(
      fc.property(word, word, fc.integer({ min: 1, max: 5 }), (a, b, most) => {
        expect(editDistance(a, b, most)).toBe(Math.min(most, editDistance(a, b, limit)));
      }),
    );
  });
});
