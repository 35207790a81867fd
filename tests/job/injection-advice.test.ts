import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import { Circuit } from '../../src/circuit/circuit.ts';
import { linearOhms, voltsAt } from '../../src/circuit/sight.ts';
import { AS_FOUND } from '../../src/circuit/state.ts';
import {
  type InjectionAdvice,
  injectionAdvice,
  injectionDoubts,
} from '../../src/job/injection/advice.ts';
import { traceAmps } from '../../src/job/injection/amps.ts';
import { parsePoint } from '../../src/job/points.ts';

function boardOf(parts: string, more = ''): Board {
  const head = 'board: Pump supply\nrails:\n  main: {plus: P12, minus: GND, volts: 12}\n';
  const neg = '  below ground: {plus: GND, minus: N12, volts: 12}\n';
  return loadBoard(`${head}${neg}parts:\n${parts}${more}`, 'pump.yaml').board;
}

const BASE = `  J1: {kind: connector, pins: {1: P12, 2: GND, 3: N12}}
  C1: {kind: ceramic, farads: 10u, volts: 25, pins: [P12, GND]}
  C2: {kind: ceramic, farads: 10u, volts: 25, pins: [N12, GND]}
`;

function advise(board: Board, red = 'P12', black = 'GND'): InjectionAdvice {
  const net = (name: string): number => board.netNamed.get(name)?.index ?? -1;
  return injectionAdvice(new Circuit(board), net(red), net(black));
}

const names = (board: Board, parts: readonly number[]): string[] =>
  parts.map((part) => board.parts[part]?.name ?? '?');

test('a shop sets its supply lower than the board would bear, and the first setting follows', () => {
  const board = boardOf(BASE);
  const net = (name: string): number => board.netNamed.get(name)?.index ?? -1;
  const limits = { volts: 0.2, amps: 0.3 };
  const circuit = new Circuit(board);
  const advice = injectionAdvice(circuit, net('P12'), net('GND'), new Set(), limits);
  expect(advice.supply.volts).toBe(0.2);
  expect(advice.current).toMatchObject({ amps: 0.3, firstAmps: 0.3 });
  expect(advice.mostOhms).toBeCloseTo(0.2 / 0.3, 9);
});

describe('the voltage of an injection', () => {
  it('is 0.3 V where only silicon lies in its way', () => {
    const board = boardOf(`${BASE}  D1: {kind: diode, pins: {A: P12, K: OUT}}
  R1: {kind: resistor, ohms: 1, pins: [OUT, GND]}
`);
    expect(advise(board).supply).toEqual({ volts: 0.3, heldBy: [], ifSwapped: [] });
  });

  it('is less where a Schottky junction leads away from the plus, through a fuse too', () => {
    const board = boardOf(`${BASE}  F1: {kind: fuse, text: T 2 A, pins: [P12, P12_F]}
  D1: {kind: schottky, pins: {A: P12_F, K: OUT}}
`);
    const { volts, heldBy } = advise(board).supply;
    expect(volts).toBe(0.15);
    expect(names(board, heldBy)).toEqual(['D1']);
  });

  it('names the Schottky diodes that conduct only with the leads swapped', () => {
    const board = boardOf(`${BASE}  D1: {kind: schottky, pins: {A: GND, K: P12}}
`);
    const { volts, ifSwapped } = advise(board).supply;
    expect(volts).toBe(0.3);
    expect(names(board, ifSwapped)).toEqual(['D1']);
    expect(advise(board, 'GND', 'P12').supply.volts).toBe(0.15);
  });

  it('minds a Schottky junction back to the minus only where current can reach it', () => {
    const back = `${BASE}  D1: {kind: schottky, pins: {A: SIG, K: GND}}\n`;
    const fed = (ohms: string): Board =>
      boardOf(`${back}  R1: {kind: resistor, ohms: ${ohms}, pins: [P12, SIG]}\n`);
    expect(advise(fed('100')).supply.volts).toBe(0.15);
    expect(advise(fed('100k')).supply.volts).toBe(0.3);
  });
});

describe('the current of an injection', () => {
  it('begins at half an ampere and ends at one where nothing asks for less', () => {
    const { amps, firstAmps, limits, unknown, unknownNets } = advise(boardOf(BASE)).current;
    expect([amps, firstAmps]).toEqual([1, 0.5]);
    expect([limits, unknown]).toEqual([[], []]);
    expect(unknownNets).toHaveLength(2);
  });

  it('stays within what the narrowest known trace carries, by IPC-2221', () => {
    const copper = 'copper: {weight: 1 oz, nets: {P12: {shape: traces, width: 0.25 mm}}}\n';
    const board = boardOf(BASE, copper);
    const { amps, firstAmps, limits, unknownNets } = advise(board).current;
    // 9.84 mil of 1.378 mil is 13.6 square mils; 0.024 · 10^0.44 · 13.6^0.725 = 0.44 A
    expect(limits[0]).toMatchObject({
      by: 'copper',
      width: 0.25,
      ounces: 1,
      isOuncesAssumed: false,
    });
    expect(amps).toBe(0.43);
    expect(firstAmps).toBe(0.43);
    expect(unknownNets.map((net) => board.nets[net]?.name)).toEqual(['GND']);
  });

  it('stays below the marks of fuses and the heat of resistors in the way, and names the rest', () => {
    const board = boardOf(`${BASE}  F1: {kind: fuse, text: F 500 mA, pins: [P12, P12_F]}
  FB1: {kind: bead, pins: [P12_F, P12_A]}
  R1: {kind: resistor, ohms: 4.7, pins: [P12_A, P12_B]}
  R2: {kind: resistor, ohms: 4.7, package: axial 2 W, pins: [P12_A, P12_C]}
  R3: {kind: resistor, ohms: 1k, pins: [P12, GND]}
`);
    const { amps, limits, unknown } = advise(board).current;
    const told = limits.map((limit) => [
      limit.by === 'copper' ? '' : (board.parts[limit.part]?.name ?? ''),
      Number(limit.amps.toFixed(3)),
    ]);
    expect(told).toEqual([
      ['R1', 0.146],
      ['F1', 0.375],
      ['R2', 0.461],
    ]);
    expect(amps).toBe(0.14);
    expect(names(board, unknown)).toEqual(['FB1']);
  });

  it('grows with width and weight', () => {
    const size = fc.double({ min: 0.05, max: 20, noNaN: true });
    fc.assert(
      fc.property(size, size, (width, ounces) => {
        const amps = traceAmps(width, ounces);
        expect(traceAmps(width * 1.1, ounces)).toBeGreaterThan(amps);
        expect(traceAmps(width, ounces * 1.1)).toBeGreaterThan(amps);
      }),
    );
  });
});

describe('polarity', () => {
  it('is the rail’s own, ground being the plus of a rail below it', () => {
    const board = boardOf(BASE);
    const circuit = new Circuit(board);
    const at = (name: string) => ({ net: board.netNamed.get(name)?.index ?? -1 });
    const doubts = (red: string, black: string, amps = 0.5) =>
      injectionDoubts(circuit, { red: at(red), black: at(black), amps }, advise(board));
    expect(doubts('P12', 'GND')).toEqual([]);
    expect(doubts('GND', 'P12')).toEqual(['turned round']);
    expect(doubts('GND', 'N12')).toEqual([]);
    expect(doubts('N12', 'GND')).toEqual(['turned round']);
    expect(doubts('P12', 'N12', 1.5)).toEqual(['more than the limit']);
  });
});

describe('the clips', () => {
  it('keep away from the suspects where there is another place', () => {
    const board = boardOf(BASE);
    const [red = -1, black = -1] = ['P12', 'GND'].map((name) => board.netNamed.get(name)?.index);
    const away = (name: string) => new Set([board.partNamed.get(name)?.index ?? -1]);
    const clips = (avoid?: ReadonlySet<number>) =>
      injectionAdvice(new Circuit(board), red, black, avoid).clips;
    expect(clips()).toEqual(['J1.1', 'J1.2']);
    expect(clips(away('J1'))).toEqual(['C1.1', 'C1.2']);
  });
});

const shipped = readdirSync('boards').filter((file) => file.endsWith('.yaml'));

describe.each(shipped)('on every rail of %s', (file) => {
  const { board } = loadBoard(readFileSync(`boards/${file}`, 'utf8'), file);
  const circuit = new Circuit(board);
  const rails = board.rails.map((rail): [string, number, number] => [
    rail.name,
    rail.plus,
    rail.minus,
  ]);

  it.each(rails)(
    '%s: the settings are within their bounds and the clips on its nets',
    (_, red, black) => {
      const { supply, current, clips } = injectionAdvice(circuit, red, black);
      expect(supply.volts).toBeGreaterThanOrEqual(0.1);
      expect(supply.volts).toBeLessThanOrEqual(0.3);
      expect(current.amps).toBeGreaterThan(0);
      expect(current.amps).toBeLessThanOrEqual(1);
      expect(current.firstAmps).toBeLessThanOrEqual(current.amps);
      expect(clips.map((place) => parsePoint(board, place).net)).toEqual([red, black]);
    },
  );

  it.each(rails)(
    '%s: at its voltage junctions of a sound board take next to nothing',
    (_, red, black) => {
      const { supply } = injectionAdvice(circuit, red, black);
      const sight = { view: circuit.view(AS_FOUND), added: [], red, black };
      const resistive = supply.volts / linearOhms(sight);
      expect(voltsAt(sight, resistive + 0.003, supply.volts)).toBe(Number.POSITIVE_INFINITY);
    },
  );
});
