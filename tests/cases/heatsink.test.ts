import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { Job, play } from './bench.ts';

//  P24 ─ Q1 ─ PHASE ─ Q2 ─ GND, both tabs on one heatsink that floats; TP1 is a screw in it.
const BOARD = `
board: Half bridge on one heatsink
rails:
  P24: {plus: P24, minus: GND, volts: 24}
heatsinks:
  rear: {net: METAL}
parts:
  TP1: {kind: test-point, pins: {1: METAL}}
  C1: {kind: electrolytic, farads: 470u, pins: {plus: P24, minus: GND}}
  Q1: {kind: n-mosfet, pins: {G: GH, D: P24, S: PHASE}, package: TO-220, heatsink: rear}
  Q2: {kind: n-mosfet, pins: {G: GL, D: PHASE, S: GND}, package: TO-220, heatsink: rear}
  R1: {kind: resistor, ohms: 10k, pins: [GH, PHASE]}
  R2: {kind: resistor, ohms: 10k, pins: [GL, GND]}
`;

/** Weight of an insulator of a part having let through. */
function punctured(job: Job, says: readonly string[], name: string): number {
  const suspect = job.after(says).diagnosis.suspects.find(({ part }) => part === job.part(name));
  return suspect?.modes.find(({ mode }) => mode === 'insulator punctured')?.weight ?? 0;
}

describe('an insulator let through to a heatsink', () => {
  const job = new Job(loadBoard(BOARD, 'half-bridge.yaml').board);

  it('is accused by a beep to the metal, and cleared by silence', () => {
    const said = ['P24 METAL beep', 'P24 METAL beep', 'PHASE METAL quiet'];
    expect(punctured(job, said, 'Q1')).toBeGreaterThan(0.8);
    expect(punctured(job, said, 'Q2')).toBeLessThan(0.02);
  });

  it('joins two tabs over metal that nothing else ties down', () => {
    const said = ['P24 PHASE beep', 'P24 METAL beep', 'PHASE METAL beep'];
    // Either tab may be through, with the transistor between them shorted, or both are.
    expect(punctured(job, said, 'Q1') + punctured(job, said, 'Q2')).toBeGreaterThan(0.9);
  });

  it('is found and put right where the metal is wired to ground', () => {
    const grounded = BOARD.replace('net: METAL', 'net: GND');
    const { board } = loadBoard(grounded, 'half-bridge.yaml');
    const { played, replaced } = play(board, [{ part: 'Q1', mode: 'insulator punctured' }]);
    expect(played.clear).toBe(true);
    expect(replaced).toContain('Q1');
  });
});
