import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import type { Probe } from '../../src/circuit/reading.ts';
import { reachMinutes } from '../../src/steps/reach.ts';

const { board } = loadBoard(
  `
board: Parts on both sides
parts:
  C1: {kind: electrolytic, farads: 10u, pins: {plus: A, minus: B}, package: radial 6.3x11, at: [0, 0]}
  C2: {kind: electrolytic, farads: 10u, pins: {plus: C, minus: D}, package: radial 6.3x11, at: [100, 0]}
  R1: {kind: resistor, ohms: 10, pins: [E, F], package: '0805', at: [5, 0], side: top}
  R2: {kind: resistor, ohms: 10, pins: [G, H], package: '0805', at: [5, 0], side: bottom}
  R3: {kind: resistor, ohms: 10, pins: [I, J]}
`,
  'sides.yaml',
);
const probe = (red: string, black: string): Probe => ({
  mode: 'continuity',
  red: { net: board.netNamed.get(red)?.index ?? -1 },
  black: { net: board.netNamed.get(black)?.index ?? -1 },
});

describe('the way from one reading to the next', () => {
  it('is nothing for the same points, whichever probe is on which', () => {
    expect(reachMinutes(board, probe('A', 'B'), probe('A', 'B'))).toBe(0);
    expect(reachMinutes(board, probe('A', 'D'), probe('D', 'A'))).toBe(0);
  });

  it('grows with the distance', () => {
    const near = reachMinutes(board, probe('A', 'B'), probe('E', 'F'));
    const far = reachMinutes(board, probe('A', 'B'), probe('C', 'D'));
    expect(near).toBeGreaterThan(0);
    expect(far).toBeGreaterThan(near);
  });

  it('counts turning the board over between pads of opposite sides, and not for leads that go through', () => {
    const flip = reachMinutes(board, probe('E', 'F'), probe('G', 'H'));
    expect(flip).toBeGreaterThan(reachMinutes(board, probe('A', 'B'), probe('C', 'D')));
    expect(reachMinutes(board, probe('A', 'B'), probe('G', 'H'))).toBeLessThan(flip);
  });

  it('is not told where a point has no place in the board file', () => {
    expect(reachMinutes(board, probe('A', 'B'), probe('I', 'J'))).toBe(0);
  });
});
