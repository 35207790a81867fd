import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import { type StoredEnergy, storedEnergy } from '../../src/board/stored-energy.ts';

const load = (text: string): Board => loadBoard(text, 'b.yaml').board;

/** One capacitor across a rail. */
function onRail(volts: number, farads: number): StoredEnergy {
  const board = load(`board: b
rails: {bus: {plus: P, minus: GND, volts: ${volts}}}
parts:
  C1: {kind: electrolytic, farads: ${farads}, volts: 450, pins: {plus: P, minus: GND}}
`);
  const [only] = storedEnergy(board);
  if (only === undefined) throw new Error('no energy');
  return only;
}

describe('storedEnergy', () => {
  test.each([
    // farads, volts, bleeder, seconds to 1 V, joules
    [100e-6, 400, 2200, 1.3, 8],
    [470e-6, 400, 2200, 6.2, 38],
    [6000e-6, 48, 1000, 23, 6.9],
  ])('%d F at %d V', (farads, volts, ohms, seconds, joules) => {
    const energy = onRail(volts, farads);
    expect(energy.bleedOhms).toBe(ohms);
    expect(energy.bleedSeconds / seconds).toBeCloseTo(1, 1);
    expect(energy.joules / joules).toBeCloseTo(1, 1);
  });

  test('adds up parallel capacitors either way round and ignores what is not across the pair', () => {
    const board = load(`board: b
rails: {bus: {plus: P, minus: GND, volts: 100}}
parts:
  C1: {kind: electrolytic, farads: 100u, volts: 160, pins: {plus: P, minus: GND}}
  C2: {kind: film, farads: 1u, volts: 400, pins: [GND, P]}
  C3: {kind: ceramic, farads: 1n, pins: [P, X]}
  C4: {kind: ceramic, pins: [P, GND]}
  R1: {kind: resistor, ohms: 1, pins: [P, X]}
`);
    const groups = storedEnergy(board);
    expect(groups).toHaveLength(1);
    expect(groups[0]).toMatchObject({ rail: 'bus', volts: 100, voltsFrom: 'rail', parts: [0, 1] });
    expect(groups[0]?.farads).toBeCloseTo(101e-6, 12);
  });

  test('goes by the highest rating where no rail tells the voltage, and says so', () => {
    const board = load(`board: b
parts:
  C1: {kind: ceramic, farads: 1u, volts: 50, pins: [GND, X]}
  C2: {kind: electrolytic, farads: 10u, volts: 63, pins: {plus: X, minus: GND}}
`);
    const x = board.netNamed.get('X')?.index;
    const gnd = board.netNamed.get('GND')?.index;
    const [group] = storedEnergy(board);
    expect(group).toMatchObject({ volts: 63, voltsFrom: 'rated', nets: [x, gnd] });
    expect(group?.rail).toBeUndefined();
  });

  test('names the rail but goes by the rating when the rail states no voltage', () => {
    const board = load(`board: b
rails: {bus: {plus: P, minus: GND}}
parts:
  C1: {kind: ceramic, farads: 1u, volts: 50, pins: [GND, P]}
`);
    expect(storedEnergy(board)[0]).toMatchObject({ rail: 'bus', volts: 50, voltsFrom: 'rated' });
  });

  test('leaves out what nobody can reckon, and a capacitor across one net', () => {
    const board = load(`board: b
parts:
  C1: {kind: ceramic, farads: 1u, pins: [GND, P]}
  C2: {kind: ceramic, farads: 1u, volts: 50, pins: [P, P]}
`);
    expect(storedEnergy(board)).toEqual([]);
  });

  test('puts the most energy first', () => {
    const board = load(`board: b
parts:
  C1: {kind: ceramic, farads: 1u, volts: 50, pins: [A1, B1]}
  C2: {kind: ceramic, farads: 1u, volts: 400, pins: [A1, C1x]}
  C3: {kind: ceramic, farads: 1u, volts: 100, pins: [A1, D1]}
`);
    expect(storedEnergy(board).map((group) => group.volts)).toEqual([400, 100, 50]);
  });

  test('after the stated time no more than a volt is left, through a bleeder of sane power', () => {
    const volts = fc.double({ min: 0.5, max: 850, noNaN: true });
    const farads = fc.double({ min: 1e-9, max: 0.1, noNaN: true });
    fc.assert(
      fc.property(volts, farads, (v, c) => {
        const { bleedOhms, bleedSeconds, bleedWatts, joules } = onRail(v, c);
        const left = v * Math.exp(-bleedSeconds / (bleedOhms * c));
        expect(left).toBeLessThanOrEqual(1 + 1e-9);
        expect(bleedWatts).toBeCloseTo(v ** 2 / bleedOhms, 6);
        expect(bleedWatts).toBeLessThanOrEqual(80);
        expect(joules).toBeCloseTo(0.5 * c * v * v, 9);
      }),
      { numRuns: 60 },
    );
  });
});
