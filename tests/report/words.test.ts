import { describe, expect, it } from 'vitest';
import { counted, listOf, minutesText, percent, runsOf } from '../../src/report/words.ts';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

describe('words', () => {
  it('never promises more than a weight can', () => {
    expect([0, 0.004, 0.5, 0.994, 1].map((weight) => plain(percent(weight)))).toEqual([
      'under 1 %',
      'under 1 %',
      '50 %',
      'over 99 %',
      'over 99 %',
    ]);
  });

  it('rounds minutes as a person would', () => {
    expect([0.3, 2, 9.96, 13.6].map((minutes) => plain(minutesText(minutes)))).toEqual([
      '0.3 min',
      '2 min',
      '10 min',
      '14 min',
    ]);
  });

  it('lists names, and counts those beyond the most', () => {
    expect(listOf(['A'])).toBe('A');
    expect(listOf(['A', 'B', 'C'])).toBe('A, B and C');
    expect(listOf(['A', 'B', 'C', 'D'], 3)).toBe('A, B and 2 more');
  });

  it('draws runs of three and more together', () => {
    expect(runsOf(['C1', 'C2', 'C3', 'C5', 'C6', 'Q1'])).toBe('C1–C3, C5, C6 and Q1');
    expect(runsOf(['R1', 'R3', 'R4', 'R6'])).toBe('R1, R3, R4 and R6');
  });

  it('counts', () => {
    expect([counted(1, 'pin'), counted(2, 'pin'), counted(2, 'reading')]).toEqual([
      '1 pin',
      '2 pins',
      '2 readings',
    ]);
  });
});
