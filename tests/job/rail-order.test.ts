import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import { fedGroups } from '../../src/job/rail-order.ts';
import { shippedBoard } from '../cases/bench.ts';

function boardOf(rails: string, parts: string): Board {
  const text = `board: A test\nrails:\n${indented(rails)}\nparts:\n${indented(parts)}\n`;
  return loadBoard(text, 'test.yaml').board;
}

function indented(text: string): string {
  return text
    .trim()
    .split('\n')
    .map((line) => `  ${line.trim()}`)
    .join('\n');
}

/** `12 V <- bus converter U5`, `bus in J1`, `3 V ?`. */
function told(board: Board): string[] {
  const groups = fedGroups(board);
  const names = groups.map(({ rails }) => rails.map((rail) => board.rails[rail]?.name).join('+'));
  const partsOf = (list: readonly number[]): string =>
    list.map((part) => board.parts[part]?.name).join(' ');
  return groups.map(({ feed, isInput, isMains, plugs }, at) => {
    if (isInput) return `${names[at]} in ${partsOf(plugs)}${isMains ? ' mains' : ''}`;
    if (feed === undefined) return `${names[at]} ?`;
    return `${names[at]} <- ${names[feed.from]} ${feed.kind} ${partsOf(feed.through)}`;
  });
}

describe('which rail feeds which', () => {
  it('is told on the boards that are shipped', () => {
    expect(told(shippedBoard('hoist-drive'))).toEqual([
      'bus+chopper+fan supply+logic supply+holding brake in J1',
      'gate drive+12 V <- bus+chopper+fan supply+logic supply+holding brake converter U5',
      '5 V <- gate drive+12 V regulator U6',
    ]);
    expect(told(shippedBoard('bypass-rail'))).toEqual([
      '24 V in in J1',
      '5 V <- 24 V in converter U1',
      '3.3 V+analogue+clock+link <- 5 V converter U2',
      'core <- 3.3 V+analogue+clock+link regulator U4',
    ]);
    expect(told(shippedBoard('bench-flyback'))).toEqual([
      'mains in J1 mains',
      'bulk <- mains rectifier BR1',
      'primary supply <- bulk transformer T1 D4 R13',
      '24 V <- bulk transformer T1 D6',
      '8 V raw <- bulk transformer T1 D10',
      '5 V <- 8 V raw regulator U4',
    ]);
  });

  it('takes the connector with a fuse for the input, not the one of the load', () => {
    const board = boardOf(
      `out: {plus: VOUT, minus: GND, volts: 24}
       main: {plus: VM, minus: GND, volts: 24}`,
      `J1: {kind: connector, pins: {1: VOUT, 2: GND}}
       J2: {kind: connector, pins: {1: VRAW, 2: GND}}
       F1: {kind: fuse, pins: [VRAW, VM]}
       Q1: {kind: p-mosfet, pins: {G: G1, D: VOUT, S: VM}}`,
    );
    expect(told(board)).toEqual(['out <- main switch Q1', 'main in J2']);
  });

  it('does not take a regulator backwards, nor a protection diode for a feed', () => {
    const board = boardOf(
      `low: {plus: V5, minus: GND, volts: 5}
       high: {plus: V12, minus: GND, volts: 12}`,
      `J1: {kind: connector, pins: {1: V12, 2: GND}}
       U1: {kind: regulator, pins: {IN: V12, GND: GND, OUT: V5}}
       D1: {kind: diode, pins: {A: V5, K: V12}}`,
    );
    expect(told(board)).toEqual(['low <- high regulator U1', 'high in J1']);
  });

  it('follows a step-up through its coil and diode', () => {
    const board = boardOf(
      `cell: {plus: BAT, minus: GND, volts: 3.7}
       lamp: {plus: V24, minus: GND, volts: 24}`,
      `J1: {kind: connector, pins: {1: BAT, 2: GND}}
       L1: {kind: inductor, pins: [BAT, SW]}
       U1: {kind: ic, pins: {VIN: BAT, SW: SW, GND: GND, FB: FB}}
       D1: {kind: schottky, pins: {A: SW, K: V24}}`,
    );
    expect(told(board)).toEqual(['cell in J1', 'lamp <- cell converter D1']);
  });

  it('knows a rail below ground by its own side', () => {
    const board = boardOf(
      `plus: {plus: VP, minus: GND, volts: 15}
       minus: {plus: GND, minus: VN, volts: 15}`,
      `J1: {kind: connector, pins: {1: VP, 2: GND, 3: VN}}
       F1: {kind: fuse, pins: [VP, VP_F]}
       F2: {kind: fuse, pins: [VN, VN_F]}`,
    );
    expect(told(board)[0]).toBe('plus in J1');
    expect(fedGroups(board)).toHaveLength(2);
  });

  it('leaves open what nothing tells', () => {
    const board = boardOf(
      `bus: {plus: V24_IN, minus: GND, volts: 24}
       stray: {plus: VX, minus: GND, volts: 9}`,
      `J1: {kind: connector, pins: {1: V24_IN, 2: GND}}
       C1: {kind: ceramic, pins: [VX, GND], farads: 1u}`,
    );
    expect(told(board)).toEqual(['bus in J1', 'stray ?']);
  });

  it('has every rail in one group, and no group that feeds itself round a circle', () => {
    const part = fc.record({
      kind: fc.constantFrom('fuse', 'schottky', 'inductor', 'n-mosfet', 'regulator', 'resistor'),
      nets: fc.tuple(fc.nat(5), fc.nat(5), fc.nat(5)),
    });
    const line = ({ kind, nets: [a, b, c] }: { kind: string; nets: number[] }, at: number) => {
      const pins = {
        fuse: `[N${a}, N${b}]`,
        inductor: `[N${a}, N${b}]`,
        resistor: `[N${a}, N${b}]`,
        schottky: `{A: N${a}, K: N${b}}`,
        'n-mosfet': `{G: G${at}, D: N${a}, S: N${b}}`,
        regulator: `{IN: N${a}, GND: N0, OUT: N${b}}`,
      }[kind];
      const ohms = kind === 'resistor' ? `, ohms: ${10 ** (c ?? 0)}` : '';
      return `P${at}: {kind: ${kind}, pins: ${pins}${ohms}}`;
    };
    fc.assert(
      fc.property(fc.array(part, { minLength: 1, maxLength: 14 }), (parts) => {
        const sound = parts.filter(({ nets: [a, b] }) => a !== b);
        fc.pre(sound.length > 0);
        const board = boardOf(
          [1, 2, 3, 4].map((k) => `r${k}: {plus: N${k}, minus: N0, volts: ${k * 5}}`).join('\n'),
          ['J1: {kind: connector, pins: {1: N1, 2: N0, 3: N2, 4: N3, 5: N4, 6: N5}}']
            .concat(sound.map(line))
            .join('\n'),
        );
        const groups = fedGroups(board);
        const rails = groups.flatMap((group) => [...group.rails]);
        expect(rails.sort()).toEqual([0, 1, 2, 3]);
        for (const start of groups) {
          let at: typeof start | undefined = start;
          for (let k = 0; at?.feed !== undefined; k++) {
            expect(k).toBeLessThan(groups.length);
            at = groups[at.feed.from];
          }
        }
      }),
    );
  });
});
