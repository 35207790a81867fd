import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readValueText, writeQuantity } from '../../../src/board/import/value-text.ts';
import { parseQuantity } from '../../../src/board/units.ts';

test.each([
  ['10k', 10e3],
  ['4R7', 4.7],
  ['0R051', 0.051],
  ['4Ω3', 4.3],
  ['2m', 0.002],
  ['300µ', 300e-6],
  ['0.0005R', 0.0005],
  ['0R15 0.33W', 0.15],
  ['4K7 0.1%', 4700],
  ['220 ohm, 3 A', 220],
  ['150OHM800mA', 150],
  ['56.2', 56.2],
  ['4,7k', 4700],
  ['0', 0],
  ['NTC', undefined],
])('resistance %j is %s Ω', (text, ohms) => {
  expect(readValueText(text, 'ohms').value).toBe(ohms);
});

test.each([
  ['390µF', 390e-6, undefined],
  ['1 nF', 1e-9, undefined],
  ['0.01uf', 0.01e-6, undefined],
  ['0u01 X7R 10% 50V', 0.01e-6, 50],
  ['1n >50V', 1e-9, 50],
  ['22u,100V', 22e-6, 100],
  ['4.7uF 50V', 4.7e-6, 50],
  ['2n2/1kV', 2.2e-9, 1000],
  ['104', 100e-9, undefined],
  ['0.1', undefined, undefined],
])('capacitance %j is %s F, %s V', (text, farads, volts) => {
  const read = readValueText(text, 'farads');
  expect(read.value ?? 0).toBeCloseTo(farads ?? 0, 15);
  expect(read.volts).toBe(volts);
});

test('tolerance is a ratio', () => {
  expect(readValueText('10k 1%', 'ohms').toleranceRatio).toBe(0.01);
});

test('a written quantity is read back to six digits', () => {
  fc.assert(
    fc.property(fc.double({ min: 1e-12, max: 1e10, noNaN: true }), (value) => {
      const back = parseQuantity(writeQuantity(value)) ?? 0;
      expect(Math.abs(back - value) / value).toBeLessThan(1e-5);
    }),
  );
});
