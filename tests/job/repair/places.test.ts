import { expect, it } from 'vitest';
import { placeName } from '../../../src/job/repair/bench-order.ts';

it('names a place of the tray by row and letter, never like a designator', () => {
  const name = (row: number, place: number): string => placeName({ part: 0, row, place });
  expect(name(0, 1)).toBe('1a');
  expect(name(11, 8)).toBe('12h');
  // No i and no o: they are taken for 1 and 0.
  expect(name(0, 9)).toBe('1j');
  expect(name(0, 24)).toBe('1z');
  expect(name(0, 25)).toBe('1aa');
  const names = Array.from({ length: 700 }, (_, k) => name(2, k + 1));
  expect(new Set(names).size).toBe(700);
});
