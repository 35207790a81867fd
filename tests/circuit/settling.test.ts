import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { Circuit } from '../../src/circuit/circuit.ts';
import { COMMON_HANDHELD } from '../../src/circuit/meter.ts';
import type { MeterMode, Probe } from '../../src/circuit/reading.ts';
import { type Settling, settlingOf, timesOf } from '../../src/circuit/settling.ts';
import { AS_FOUND, type BoardState, withLifted, withOff } from '../../src/circuit/state.ts';

/** A board of two-pin parts: `C1 470u P GND`, `R1 10 P Q`; a connector gives every net a pin. */
function boardOf(...parts: string[]) {
  const lines = parts.map((text) => {
    const [name = '', value = '', a = '', b = ''] = text.split(' ');
    const kind = name.startsWith('C') ? 'ceramic, farads:' : 'resistor, ohms:';
    return `  ${name}: {kind: ${kind} ${value}, pins: [${a}, ${b}]}`;
  });
  const text = `board: b\nparts:\n  J1: {kind: connector, pins: {1: P, 2: GND, 3: Q, 4: MID}}\n${lines.join('\n')}\n`;
  return loadBoard(text, 'b').board;
}

function settle(
  parts: readonly string[],
  options: { mode?: MeterMode; state?: (board: ReturnType<typeof boardOf>) => BoardState } = {},
): Settling | undefined {
  const board = boardOf(...parts);
  const state = options.state?.(board) ?? AS_FOUND;
  const [red, black] = ['P', 'GND'].map((name) => ({ net: board.netNamed.get(name)!.index }));
  const probe: Probe = { mode: options.mode ?? 'continuity', red: red!, black: black! };
  return settlingOf(board, new Circuit(board).view(state), state, COMMON_HANDHELD, probe);
}

const farads = (...parts: string[]): number => settle(parts)?.farads ?? 0;

describe('capacitance across two points', () => {
  it('adds in parallel, halves in a string of two alike', () => {
    expect(farads('C1 470u P GND', 'C2 220u GND P')).toBeCloseTo(690e-6, 12);
    expect(farads('C1 100u P MID', 'C2 100u MID GND')).toBeCloseTo(50e-6, 12);
    expect(farads('C1 100u P MID', 'R1 0.1 MID Q', 'C2 100u Q GND')).toBeCloseTo(50e-6, 9);
  });

  it('counts what a small resistance joins to a point, and nothing behind a large one', () => {
    expect(farads('C1 1u P GND', 'R1 2.2 P Q', 'C2 1u Q GND')).toBeCloseTo(2e-6, 12);
    expect(farads('C1 1u P GND', 'R1 4k7 P Q', 'C2 1u Q GND')).toBeCloseTo(1e-6, 12);
    expect(farads('C1 1u Q GND')).toBe(0);
  });

  it('is nothing to wait for where the points conduct anyway', () => {
    expect(settle(['C1 470u P GND', 'R1 10 P GND'])).toBeUndefined();
  });

  it('leaves out what is lifted or off', () => {
    const both = ['C1 470u P GND', 'C2 220u P GND'];
    const off = settle(both, { state: (b) => withOff(AS_FOUND, [b.partNamed.get('C1')!.index]) });
    const up = settle(both, {
      state: (b) => withLifted(AS_FOUND, [b.partNamed.get('C1')!.pins[0]!]),
    });
    expect(off?.farads).toBeCloseTo(220e-6, 12);
    expect(up?.farads).toBeCloseTo(220e-6, 12);
  });

  it('names the capacitors that lie across the points themselves', () => {
    const parts = ['C1 1u P GND', 'C2 1u P MID', 'C3 1u MID GND'];
    const board = boardOf(...parts);
    const found = settle(parts)?.parts.map((part) => board.parts[part]?.name);
    expect(found).toEqual(['C1']);
  });

  it('is its own for a capacitor off the board', () => {
    const board = boardOf('C1 470u P GND', 'C2 1u P GND');
    const { index, pins } = board.partNamed.get('C1')!;
    const [red, black] = pins.map((pin) => ({ net: board.pins[pin]!.net, pin }));
    const probe: Probe = { mode: 'continuity', red: red!, black: black!, offPart: index };
    const view = new Circuit(board).view(AS_FOUND);
    expect(settlingOf(board, view, AS_FOUND, COMMON_HANDHELD, probe)?.farads).toBe(470e-6);
  });
});

describe('how long to hold', () => {
  it('is a second more than the beeper sounds while it charges', () => {
    const times = timesOf(COMMON_HANDHELD, 'continuity', 470e-6);
    expect(times.beepSeconds).toBeCloseTo(0.0141, 4);
    expect(times.holdSeconds).toBeCloseTo(1.0141, 4);
    expect(times.swap).toBe(false);
  });

  it('is C·V/I in diode test', () => {
    expect(timesOf(COMMON_HANDHELD, 'diode', 1e-3).overSeconds).toBeCloseTo(2, 9);
  });

  it('is three seconds at least above a millifarad, with a second reading the other way', () => {
    expect(timesOf(COMMON_HANDHELD, 'continuity', 2.2e-3)).toMatchObject({
      holdSeconds: 3,
      swap: true,
    });
    expect(timesOf(COMMON_HANDHELD, 'diode', 1).holdSeconds).toBe(60);
  });
});

const mode = fc.constantFrom<MeterMode>('continuity', 'ohms', 'diode', 'low-voltage', 'four-wire');
const size = fc.double({ min: -9, max: -2, noNaN: true }).map((decade) => 10 ** decade);

it('no time falls as capacitance grows', () => {
  fc.assert(
    fc.property(mode, size, size, (each, some, more) => {
      const less = timesOf(COMMON_HANDHELD, each, some);
      const big = timesOf(COMMON_HANDHELD, each, some + more);
      expect(big.holdSeconds).toBeGreaterThanOrEqual(less.holdSeconds);
      expect(big.beepSeconds).toBeGreaterThan(less.beepSeconds);
      expect(big.overSeconds).toBeGreaterThanOrEqual(less.overSeconds);
    }),
  );
});

const nets = ['P', 'GND', 'Q', 'MID'];
const part = fc
  .tuple(fc.constantFrom('C', 'R'), fc.integer({ min: 1, max: 99 }), fc.nat(3), fc.nat(3))
  .filter(([, , a, b]) => a !== b);
const network = fc
  .array(part, { minLength: 1, maxLength: 8 })
  .map((all) => all.map(([sort, n, a, b], k) => [sort + k, n, nets[a], nets[b]] as const));

const textOf = (parts: readonly (readonly [string, number, ...unknown[]])[]): string[] =>
  parts.map(([name, n, ...rest]) => [name, name.startsWith('C') ? `${n}u` : n, ...rest].join(' '));

it('a larger or a further capacitor never shortens the hold, and one in parallel adds itself', () => {
  fc.assert(
    fc.property(network, fc.nat(7), fc.integer({ min: 1, max: 99 }), (parts, at, extra) => {
      const before = settle(textOf(parts));
      const grown = parts.map(([name, n, ...rest], k) =>
        k === at && name.startsWith('C') ? ([name, n + extra, ...rest] as const) : parts[k]!,
      );
      const after = settle(textOf(grown));
      expect(after?.holdSeconds ?? 0).toBeGreaterThanOrEqual((before?.holdSeconds ?? 0) - 1e-12);
      const beside = settle([...textOf(parts), `C99 ${extra}u P GND`]);
      if (beside === undefined) return; // the points conduct
      expect(beside.farads).toBeCloseTo((before?.farads ?? 0) + extra * 1e-6, 11);
    }),
    { numRuns: 60 },
  );
});
