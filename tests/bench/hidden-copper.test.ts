import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { SimulatedBench } from '../../src/bench/simulated-bench.ts';
import { loadBoard } from '../../src/board/load.ts';
import { COMMON_HANDHELD } from '../../src/circuit/meter.ts';
import type { Point, Probe, ReadingValue } from '../../src/circuit/reading.ts';
import { AS_FOUND, withOff } from '../../src/circuit/state.ts';

const file = new URL('../../boards/bypass-rail.yaml', import.meta.url);
const { board } = loadBoard(readFileSync(file, 'utf8'), 'bypass-rail.yaml');

function pad(part: string, place: number): Point {
  const pin = board.partNamed.get(part)?.pins[place] ?? -1;
  return { net: board.pins[pin]?.net ?? -1, pin };
}

function benchWith(short: string, seed: number): SimulatedBench {
  const fourWire = { ranges: [{ ohms: 100, amps: 1e-3 }], volts: 0.2 };
  const meter = {
    ...COMMON_HANDHELD,
    drives: { ...COMMON_HANDHELD.drives, 'four-wire': fourWire },
  };
  return new SimulatedBench(board, {
    seed,
    faults: 0,
    meter,
    these: [{ part: short, mode: 'short', ohms: 0.1 }],
  });
}

function across(part: string): Probe {
  return { mode: 'four-wire', red: pad(part, 0), black: pad(part, 1) };
}

function ohmsIn(value: ReadingValue): number {
  return value.kind === 'ohms' ? value.ohms : Number.NaN;
}

function voltsIn(value: ReadingValue): number {
  return value.kind === 'volts' ? value.volts : Number.NaN;
}

describe('the hidden copper of a simulated board', () => {
  const rail = board.parts
    .filter(({ pins }) => pins.length === 2)
    .filter(({ pins }) =>
      ['V3', 'GND'].every(
        (net, k) => board.nets[board.pins[pins[k] as number]?.net ?? -1]?.name === net,
      ),
    )
    .filter(({ kind }) => kind.name === 'ceramic')
    .map(({ name }) => name);

  it('makes milliohms fall toward the shorted part, whose own pads read least', () => {
    for (const [seed, short] of [
      [1, 'C31'],
      [2, 'C58'],
      [3, 'C70'],
    ] as const) {
      const bench = benchWith(short, seed);
      const read = rail.map((name) => ohmsIn(bench.answer(across(name), AS_FOUND)));
      const own = read[rail.indexOf(short)] as number;
      expect(rail.length).toBeGreaterThan(50);
      expect(own).toBeLessThan(Math.min(...read) + 0.0003);
      expect(Math.max(...read)).toBeGreaterThan(own + 0.0015);
    }
  });

  it('is the same for a seed and another for the next', () => {
    const reading = (seed: number): ReadingValue =>
      benchWith('C31', seed).answer(across('C60'), AS_FOUND);
    expect(reading(4)).toEqual(reading(4));
    expect(reading(4)).not.toEqual(reading(5));
  });

  it('drops volts along the way of an injected current, which add up', () => {
    const bench = benchWith('C31', 6);
    const injected = { red: pad('TP1', 0), black: pad('TP2', 0), amps: 0.5 };
    const volts = (red: Point, black: Point): number =>
      voltsIn(bench.answer({ mode: 'millivolts', red, black, injected }, AS_FOUND));
    const [near, middle, far] = [pad('TP1', 0), pad('C60', 0), pad('C31', 0)];
    expect(volts(near, far)).toBeGreaterThan(0.0002);
    expect(volts(far, near)).toBeCloseTo(-volts(near, far), 4);
    expect(volts(near, middle) + volts(middle, far)).toBeCloseTo(volts(near, far), 4);
  });

  it('lets no current through once the shorted part is off', () => {
    const bench = benchWith('C31', 7);
    const off = withOff(AS_FOUND, [board.partNamed.get('C31')?.index ?? -1]);
    const value = bench.answer(across('C60'), off);
    expect(value.kind === 'over' || ohmsIn(value) > 100).toBe(true);
  });
});
