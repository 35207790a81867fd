import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { printPin } from '../../src/job/points.ts';
import { holdOf, probePlaces } from '../../src/job/probe-place.ts';
import { NO_COLOUR } from '../../src/report/style.ts';
import { whereLines } from '../../src/report/where/lines.ts';
import { wherePart, wherePoint, whereProbe } from '../../src/report/where/view.ts';
import { shippedBoard } from '../cases/bench.ts';

const board = loadBoard(
  `board: holds
rails: {r: {plus: V, minus: G, volts: 12}}
parts:
  R1: {kind: resistor, ohms: 1k, pins: [V, G], package: "0603", at: [10, 10]}
  Q1: {kind: n-mosfet, pins: {G: X, D: V, S: G}, package: TO-220, at: [20, 10]}
  Q2: {kind: n-mosfet, pins: {G: X, D: V, S: G}, package: TO-220FP, heatsink: true, at: [30, 10]}
  C1: {kind: electrolytic, farads: 100u, pins: {plus: V, minus: G}, package: radial, at: [40, 10]}
  J1: {kind: connector, pins: {1: V, 2: G}, at: [50, 10]}
  TP1: {kind: test-point, pins: {1: V}, at: [60, 10]}
  R2: {kind: resistor, ohms: 1k, pins: [X, G], package: axial, at: [15, 30], side: bottom}
`,
  'holds.yaml',
).board;
const net = (name: string): number => board.netNamed.get(name)?.index ?? -1;
const pin = (part: string, name: string): number =>
  (board.partNamed.get(part)?.pins ?? []).find((each) => board.pins[each]?.name === name) ?? -1;
const names = (of: string, shut: readonly number[] = []): string[] =>
  probePlaces(board, net(of), { pins: new Set(shut), nets: new Set() }).map(({ pin: at }) =>
    printPin(board, at),
  );

describe('the handiest pad of a net', () => {
  it('is a test point, then a connector, a bare tab, a large pad, a leg, a small pad', () => {
    expect(names('V')).toEqual(['TP1.1', 'J1.1', 'Q1.D', 'C1.plus', 'Q2.D', 'R1.1']);
    expect(holdOf(board, pin('Q1', 'D'))).toBe('tab');
    expect(holdOf(board, pin('Q2', 'D'))).toBe('leg'); // its metal is inside the body
    expect(holdOf(board, pin('R2', '1'))).toBe('leg');
  });

  it('is never one that probes cannot reach', () => {
    expect(names('V', [pin('TP1', '1'), pin('J1', '1')])[0]).toBe('Q1.D');
    expect(names('X', board.nets[net('X')]?.pins)).toEqual([]);
  });

  it('is one that the board file names before any other', () => {
    const hoist = shippedBoard('hoist-drive');
    const p48 = hoist.netNamed.get('P48');
    const places = probePlaces(hoist, p48?.index ?? -1).map(({ pin: at }) => printPin(hoist, at));
    expect(places.slice(0, 3)).toEqual(['TP1.1', 'F1.2', 'C1.plus']);
  });
});

describe('where things are', () => {
  const style = { width: 60, palette: NO_COLOUR };

  it('is told by the parts beside it, on its own side of the board', () => {
    expect(wherePart(board, board.partNamed.get('Q2')?.index ?? -1).spots[0]?.text).toBe(
      'Q2, n-channel MOSFET, between Q1 and C1',
    );
    expect(wherePart(board, board.partNamed.get('R1')?.index ?? -1).spots[0]?.text).toBe(
      'R1, resistor, beside Q1',
    );
    expect(wherePart(board, board.partNamed.get('R2')?.index ?? -1).spots[0]?.text).toBe(
      'R2, resistor',
    );
  });

  it('of a reading is one pad for each probe, black near red, both marked in the map', () => {
    const probe = { mode: 'continuity', red: { net: net('V') }, black: { net: net('G') } } as const;
    const { spots } = whereProbe(board, probe);
    expect(spots.map(({ pad }) => pad)).toEqual(['TP1.1', 'J1.2']);
    const lines = whereLines(whereProbe(board, probe), style);
    expect(lines.join('\n')).toMatch(/●TP1, red here/);
    expect(lines.join('\n')).toMatch(/○J1\.2, black here/);
    expect(lines.every((line) => line.length <= 60)).toBe(true);
    expect(lines.length).toBeLessThanOrEqual(24);
  });

  it('is said to be nowhere where no probe reaches', () => {
    const shut = { pins: new Set(board.nets[net('X')]?.pins), nets: new Set<number>() };
    expect(whereLines(wherePoint(board, { net: net('X') }, shut), style).join(' ')).toContain(
      'No probe reaches it',
    );
  });

  it('of every net and part of a shipped board fits any width, and names a pad of it', () => {
    const hoist = shippedBoard('hoist-drive');
    for (const width of [50, 80, 200]) {
      for (const { index, pins } of hoist.nets) {
        const view = wherePoint(hoist, { net: index });
        const own = pins.map((each) => printPin(hoist, each));
        expect(own).toContain(view.spots[0]?.pad);
        const lines = whereLines(view, { width, palette: NO_COLOUR });
        expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(width);
      }
    }
  });
});
