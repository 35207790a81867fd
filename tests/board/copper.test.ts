import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { InputError } from '../../src/board/diagnostic.ts';
import { loadBoard } from '../../src/board/load.ts';
import { parseMeasure } from '../../src/board/measures.ts';

const PARTS = `board: b
parts:
  C1: {kind: ceramic, pins: [P3V3, GND]}
  C2: {kind: ceramic, pins: [P3V3, GND]}
`;

const load = (copper: string) => loadBoard(`${PARTS}${copper}`, 'b.yaml').board;

function faultsOf(copper: string): { message: string; hint?: string; at: string }[] {
  try {
    load(copper);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return error.diagnostics.map(({ message, hint, place }) => ({
      message,
      ...(hint === undefined ? {} : { hint }),
      at: `${place?.line}:${place?.column}`,
    }));
  }
  return [];
}

describe('the copper of a board file', () => {
  test('a board file without it says nothing of copper', () => {
    expect(load('').copper).toBeUndefined();
  });

  test('is read in ounces and mm, by net, a word or a map', () => {
    const board = load(`copper:
  weight: 70 um
  nets:
    GND: plane
    P3V3: {shape: traces, width: 80 mil, weight: 0.5 oz}
`);
    const net = (name: string): number => board.netNamed.get(name)?.index ?? -1;
    expect(board.copper?.ounces).toBe(2);
    expect(board.copper?.nets.get(net('GND'))).toEqual({ shape: 'plane' });
    const rail = board.copper?.nets.get(net('P3V3'));
    expect(rail).toEqual({ shape: 'traces', width: expect.closeTo(2.032, 9), ounces: 0.5 });
  });

  test('a net no part is on is refused, with the nearest one', () => {
    expect(faultsOf('copper: {nets: {P3V: plane}}')).toEqual([
      {
        message: 'no part is on a net "P3V"',
        hint: 'did you mean "P3V3"?',
        at: '5:17',
      },
    ]);
  });

  test('a word that is no shape is told the nearest one', () => {
    expect(faultsOf('copper: {nets: {GND: plan}}')).toEqual([
      {
        message: '"plan" is not one of plane, traces',
        hint: 'did you mean "plane"?',
        at: '5:22',
      },
    ]);
    expect(faultsOf('copper: {nets: {GND: {shape: trace}}}')[0]?.hint).toBe(
      'did you mean "traces"?',
    );
    expect(faultsOf('copper: {wieght: 1 oz}')[0]?.hint).toBe('did you mean "weight"?');
  });

  test.each(['1', '1 g', '-1 oz', '0 oz', 'heavy', '1,5 oz', 'oz'])(
    '%s is no copper weight, and the hint shows one',
    (text) => {
      const [fault] = faultsOf(`copper: {weight: "${text}"}`);
      expect(fault?.message).toBe(`"${text}" is not a copper weight`);
      expect(fault?.hint).toContain('1 oz');
    },
  );

  test('weights and widths no board has are refused in their own units', () => {
    expect(faultsOf('copper: {weight: 100 oz}')[0]?.message).toBe(
      '100 oz must lie between 0.25 and 20 oz',
    );
    expect(faultsOf('copper: {weight: 35 mm}')[0]?.message).toContain('1000 oz must lie');
    expect(faultsOf('copper: {nets: {GND: {width: 3000 mm}}}')[0]?.message).toBe(
      '3000 mm must lie between 0.05 and 1000 mm',
    );
  });

  test('micrometres and mm of copper are ounces without a rounding tail', () => {
    expect(parseMeasure('35 um', 'weight')).toBe(1);
    expect(parseMeasure('0.035 mm', 'weight')).toBe(1);
    expect(parseMeasure('105µm', 'weight')).toBe(3);
    expect(parseMeasure('17.5 um', 'weight')).toBe(0.5);
  });

  test('what a unit multiplies, another divides', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), (n) => {
        const mm = parseMeasure(`${n / 1000} mm`, 'length') ?? 0;
        expect(parseMeasure(`${n} um`, 'length')).toBeCloseTo(mm, 9);
        expect(parseMeasure(`${n / 1000} in`, 'length')).toBeCloseTo(mm * 25.4, 6);
      }),
    );
  });
});
