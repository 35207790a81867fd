// What a good board read knows paths that the board file lacks, and sharpens what it has.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import type { GoodReading } from '../../src/faults/good-board.ts';
import { advise, analyse, isClear, openWorkbench } from '../../src/steps/advise.ts';
import { Job } from './bench.ts';

/** A controller's board; what its IC takes on V5 and FAN is in no file. */
const BOARD = `board: Pump controller
rails:
  main: {plus: P12, minus: GND, volts: 12}
  logic: {plus: V5, minus: GND, volts: 5}
parts:
  J1: {kind: connector, pins: {1: P12, 2: GND, 3: FAN}}
  D1: {kind: suppressor, pins: {A: GND, K: P12}}
  C1: {kind: electrolytic, farads: 470u, volts: 25, pins: {plus: P12, minus: GND}}
  C2: {kind: ceramic, farads: 1u, volts: 16, pins: [V5, GND]}
  C3: {kind: ceramic, farads: 1u, volts: 16, pins: [V5, GND]}
  C4: {kind: ceramic, farads: 100n, volts: 16, pins: [FAN, GND]}
  R1: {kind: resistor, ohms: 10k, pins: [P12, GND]}
  R2: {kind: resistor, ohms: 47, pins: [P12, V5]}
  U1: {kind: unknown, pins: {1: V5, 2: GND, 3: FAN}}
`;

const ohms = (red: string, black: string, value: number): GoodReading => {
  return { red, black, mode: 'ohms', value: { kind: 'ohms', ohms: value } };
};

function jobs(reference: readonly GoodReading[], text = BOARD): { plain: Job; told: Job } {
  const { board } = loadBoard(text, 'pump.yaml');
  const plain = new Job(board);
  const told = new Job(board);
  Object.assign(told, { workbench: openWorkbench(board, { reference }) });
  return { plain, told };
}

const accused = (job: Job, line: string): number => {
  const { suspects } = job.after([line]).diagnosis;
  return suspects.reduce((sum, { weight }) => sum + weight, 0);
};

describe('what a good board read', () => {
  const reference = [ohms('FAN', 'GND', 180), ohms('P12', 'GND', 2100)];

  it('takes suspicion off what it read alike', () => {
    const { plain, told } = jobs(reference);
    expect(accused(plain, 'FAN GND 178 ohm')).toBeGreaterThan(0.3);
    expect(accused(told, 'FAN GND 178 ohm')).toBeLessThan(0.02);
  });

  it('accuses what reads far lower than it', () => {
    const { told } = jobs(reference);
    expect(accused(told, 'FAN GND 2 ohm')).toBeGreaterThan(0.9);
  });

  it('makes no short of a beep that the good board gives as well', () => {
    const { plain, told } = jobs([ohms('FAN', 'GND', 9)]);
    expect(accused(plain, 'FAN GND beep')).toBeGreaterThan(0.5);
    expect(accused(told, 'FAN GND beep')).toBeLessThan(0.1);
  });

  it('is what a pair has to read to count as clear', () => {
    const { plain, told } = jobs([ohms('FAN', 'GND', 9)]);
    const [reading] = told.derive(['FAN GND 9 ohm']).evidence.readings;
    if (reading === undefined) throw new Error('no reading');
    expect(isClear(plain.workbench, reading)).toBe(false);
    expect(isClear(told.workbench, reading)).toBe(true);
  });

  it('knows a junction that no file lists from one that is shorted', () => {
    const drop: GoodReading = {
      red: 'FAN',
      black: 'GND',
      mode: 'diode',
      value: { kind: 'volts', volts: 0.62 },
    };
    const { told } = jobs([drop]);
    expect(told.after(['FAN GND 0.61 V']).diagnosis.contradictory).toBe(false);
    expect(accused(told, 'FAN GND 0.61 V')).toBeLessThan(0.05);
    expect(accused(told, 'FAN GND 0.002 V')).toBeGreaterThan(0.9);
  });

  it('at nets the board does not have is passed over', () => {
    const { board } = loadBoard(BOARD, 'pump.yaml');
    const bench = openWorkbench(board, { reference: [ohms('ELSEWHERE', 'GND', 3)] });
    const bare = openWorkbench(board);
    const evidence = new Job(board).derive(['P12 GND 3 ohm']).evidence;
    const weights = (one: typeof bench): unknown => analyse(one, evidence).diagnosis.suspects;
    expect(weights(bench)).toEqual(weights(bare));
  });

  it('leads to a next step, whatever it read and whatever is read', () => {
    const value = fc.double({ min: 0.1, max: 1e6, noNaN: true });
    const line = fc.constantFrom('FAN GND beep', 'FAN GND OL', 'FAN GND 40 ohm', 'V5 GND OL diode');
    fc.assert(
      fc.property(value, value, line, (fan, v5, said) => {
        const { told } = jobs([ohms('FAN', 'GND', fan), ohms('GND', 'V5', v5)]);
        const analysis = told.after([said]);
        for (const { weight } of analysis.diagnosis.suspects) {
          expect(weight).toBeGreaterThanOrEqual(0);
          expect(weight).toBeLessThanOrEqual(1 + 1e-9);
        }
        expect(advise(analysis).step.kind).toBeDefined();
      }),
      { numRuns: 30 },
    );
  });
});
