import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  formatAmps,
  formatFarads,
  formatOhms,
  formatQuantity,
  formatSeconds,
  parsePercent,
  parseQuantity,
} from '../../src/board/units.ts';

describe('parseQuantity', () => {
  test.each([
    ['0.005', 0.005],
    ['5m', 0.005],
    ['1M', 1e6],
    ['1m', 1e-3],
    ['4k7', 4700],
    ['4K7', 4700],
    ['4R7', 4.7],
    ['R47', 0.47],
    ['0R005', 0.005],
    ['1M0', 1e6],
    ['2u2', 2.2e-6],
    ['100n', 100e-9],
    ['470u', 470e-6],
    ['470µF', 470e-6],
    ['470μF', 470e-6],
    ['470uF', 470e-6],
    ['22 pF', 22e-12],
    ['10 kohm', 10_000],
    ['10kΩ', 10_000],
    ['4.7 Ω', 4.7],
    ['4.7 ohms', 4.7],
    ['100R', 100],
    ['1meg', 1e6],
    ['1.5e3', 1500],
    ['.5', 0.5],
    ['5.', 5],
    ['+3', 3],
    ['3V3', 3.3],
    ['63 V', 63],
    ['1m5', 1.5e-3],
    ['0', 0],
    ['010', 10],
    [' 4k7 ', 4700],
  ])('%s is %d', (text, value) => {
    expect(parseQuantity(text)).toBe(value);
  });

  test.each(['', ' ', 'k', 'R', '-5', '4k7k', '4,7', '1..2', 'ohm', '4 7', '1e', '0x1F', 'NaN'])(
    '%j is no quantity',
    (text) => {
      expect(parseQuantity(text)).toBeUndefined();
    },
  );

  test('a number too large for a double is no quantity', () => {
    expect(parseQuantity('1e999')).toBeUndefined();
    expect(parseQuantity(`${'9'.repeat(400)}k`)).toBeUndefined();
  });

  test('a unit word of another quantity is refused where the quantity is known', () => {
    expect(parseQuantity('10 uF', 'ohms')).toBeUndefined();
    expect(parseQuantity('10 ohm', 'farads')).toBeUndefined();
    expect(parseQuantity('3V3', 'volts')).toBe(3.3);
    expect(parseQuantity('4R7', 'farads')).toBeUndefined();
    expect(parseQuantity('2u2', 'henries')).toBeCloseTo(2.2e-6, 12);
  });

  test('reads any decimal with any suffix as the nearest double', () => {
    const suffixes = [
      ['p', -12],
      ['n', -9],
      ['u', -6],
      ['m', -3],
      ['', 0],
      ['k', 3],
      ['M', 6],
      ['G', 9],
    ] as const;
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 99_999 }),
        fc.integer({ min: 0, max: 999 }),
        fc.constantFrom(...suffixes),
        (whole, fraction, [suffix, power]) => {
          expect(parseQuantity(`${whole}.${fraction}${suffix}`)).toBe(
            Number(`${whole}.${fraction}e${power}`),
          );
        },
      ),
    );
  });

  test('never throws and never gives a negative or endless number', () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        const value = parseQuantity(text);
        if (value !== undefined) expect(value >= 0 && Number.isFinite(value)).toBe(true);
      }),
    );
  });
});

describe('parsePercent', () => {
  test.each([
    ['1%', 0.01],
    ['0.1 %', 0.001],
    ['±5%', 0.05],
    ['+/-20%', 0.2],
  ])('%s is %d', (text, ratio) => {
    expect(parsePercent(text)).toBe(ratio);
  });

  test.each(['1', '%', '-5%', '5 percent'])('%s is no tolerance', (text) => {
    expect(parsePercent(text)).toBeUndefined();
  });
});

describe('formatting for people', () => {
  test.each([
    [4700, '4.7 kΩ'],
    [0.012, '12 mΩ'],
    [0, '0 Ω'],
    [999.9, '1 kΩ'],
    [1e6, '1 MΩ'],
    [0.47, '470 mΩ'],
    [123.456, '123 Ω'],
    [2.2e12, '2200 GΩ'],
    [Number.POSITIVE_INFINITY, '∞ Ω'],
    [Number.NaN, '? Ω'],
    [-3, '-3 Ω'],
  ])('%d Ω prints as %s', (ohms, text) => {
    expect(formatOhms(ohms)).toBe(text);
  });

  test('other units take the same prefixes', () => {
    expect(formatFarads(470e-6)).toBe('470 µF');
    expect(formatFarads(2.2e-12)).toBe('2.2 pF');
    expect(formatAmps(0.182)).toBe('182 mA');
  });

  test.each([
    [0.42, '420 ms'],
    [6.2, '6.2 s'],
    [59.97, '1 min'],
    [200, '3 min 20 s'],
    [3600, '1 h'],
    [7499, '2 h 5 min'],
  ])('%d s prints as %s', (seconds, text) => {
    expect(formatSeconds(seconds)).toBe(text);
  });

  test('what is printed reads back within half a percent', () => {
    const value = fc.double({ min: 1e-12, max: 9e11, noNaN: true });
    fc.assert(
      fc.property(value, (ohms) => {
        const back = parseQuantity(formatQuantity(ohms, 'Ω'), 'ohms') ?? Number.NaN;
        expect(Math.abs(back / ohms - 1)).toBeLessThan(0.0051);
      }),
    );
  });
});
