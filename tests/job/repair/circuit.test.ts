import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../../src/board/load.ts';
import type { Board, Part } from '../../../src/board/model.ts';
import { inLineWith } from '../../../src/job/repair/in-line.ts';
import { neighboursOf } from '../../../src/job/repair/neighbours.ts';
import { shipped } from './repaired.ts';

function part(board: Board, name: string): Part {
  const found = board.partNamed.get(name);
  if (found === undefined) throw new Error(`no part ${name}`);
  return found;
}

function rolesOf(board: Board, name: string): Record<string, string> {
  const found = neighboursOf(board, part(board, name));
  return Object.fromEntries(
    found.map(({ part: index, role }) => [board.parts[index]?.name ?? '?', role]),
  );
}

function feeding(board: Board, name: string): string[] {
  return inLineWith(board, part(board, name))
    .map((index) => board.parts[index]?.name ?? '?')
    .sort();
}

/**
 *  VG ── Q2.C   Q2.E ─┬─ R1 ── G ── Q1      VG ── R3 ── G
 *        Q3.E ────────┘  R2: G to S         Q1.S ── R4 (0.1) ── GND
 */
const TOTEM = loadBoard(
  `
board: Totem pole drive
rails:
  gate: {plus: VG, minus: GND, volts: 12}
parts:
  Q1: {kind: n-mosfet, pins: {G: G, D: OUT, S: S}}
  Q2: {kind: npn, pins: {B: IN, C: VG, E: DRV}}
  Q3: {kind: pnp, pins: {B: IN, C: GND, E: DRV}}
  R1: {kind: resistor, ohms: 10, pins: [DRV, G]}
  R2: {kind: resistor, ohms: 10k, pins: [G, S]}
  R3: {kind: resistor, ohms: 47k, pins: [VG, G]}
  R4: {kind: resistor, ohms: 0.1, pins: [S, GND]}
  R5: {kind: resistor, ohms: 1k, pins: [S, CS]}
  D1: {kind: zener, volts: 15, pins: {A: S, K: G}}
  C1: {kind: ceramic, farads: 100n, pins: [CS, GND]}
  J1: {kind: connector, pins: {1: OUT, 2: IN, 3: GND, 4: VG}}
`,
  'totem.yaml',
).board;

describe('what stands round a transistor', () => {
  it('is told from the circuit: its own drive, clamp and sense resistor', () => {
    expect(rolesOf(TOTEM, 'Q1')).toEqual({
      R1: 'gate resistor',
      R2: 'gate pull resistor',
      R3: 'gate pull resistor',
      D1: 'gate clamp',
      Q2: 'driver transistor',
      Q3: 'driver transistor',
      R4: 'current-sense resistor',
    });
  });

  it('leaves the bank mates on the same drive out, and their resistors', () => {
    const board = shipped('hoist-drive');
    expect(rolesOf(board, 'Q2')).toEqual({ R3: 'gate resistor', U1: 'driver' });
    expect(rolesOf(board, 'Q5')).toEqual({
      R7: 'gate resistor',
      U1: 'driver',
      R26: 'current-sense resistor',
    });
  });

  it('is nothing for a gate on a supply or on a net of many pins', () => {
    const { board } = loadBoard(
      `
board: Gate on a rail
rails:
  gate: {plus: VG, minus: GND, volts: 12}
parts:
  Q1: {kind: n-mosfet, pins: {G: VG, D: OUT, S: GND}}
  U1: {kind: ic, pins: {VCC: VG, GND: GND, OUT: OUT}}
  R1: {kind: resistor, ohms: 10, pins: [VG, OUT]}
`,
      'rail.yaml',
    );
    expect(rolesOf(board, 'Q1')).toEqual({});
  });
});

describe('what feeds a short', () => {
  it('is found through links, windings, rectifier and chokes', () => {
    const board = shipped('bench-flyback');
    expect(feeding(board, 'Q1')).toEqual(['BR1', 'F1', 'RT1']);
    expect(feeding(board, 'C5')).toEqual(['BR1', 'F1', 'RT1']);
  });

  it('stops at what passes no current to speak of', () => {
    const board = shipped('bench-flyback');
    expect(feeding(board, 'U4')).toEqual([]);
    expect(feeding(board, 'C20')).toEqual([]);
  });

  it('is the fuse behind a jumper', () => {
    expect(feeding(shipped('hoist-drive'), 'D7')).toEqual(['F1']);
  });
});
