import { expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import { type BoardState, withLifted, withOff } from '../../src/circuit/state.ts';
import { type Evidence, NO_EVIDENCE } from '../../src/faults/evidence.ts';
import { analyse, openWorkbench } from '../../src/steps/advise.ts';

/** A rail behind a fuse with this many capacitors alike, dealt out to some banks. */
function railOf(count: number, banks: number): Board {
  const bank = (k: number): string => (banks === 0 ? '' : `, bank: bulk ${k % banks}`);
  const capacitors = Array.from(
    { length: count },
    (_, k) =>
      `  C${k}: {kind: electrolytic, farads: 100u, pins: {plus: P48, minus: GND}${bank(k)}}`,
  );
  const text = `
board: One rail
rails: {bus: {plus: P48, minus: GND, volts: 48}}
parts:
  J1: {kind: connector, pins: [IN, GND]}
  F1: {kind: fuse, pins: [IN, P48]}
  R1: {kind: resistor, ohms: 10k, pins: [P48, LED]}
  D1: {kind: diode, pins: {A: LED, K: GND}}
${capacitors.join('\n')}
`;
  return loadBoard(text, 'rail.yaml').board;
}

/** Looking for the one that is shorted: work units of each analysis along the way. */
function workOf(count: number, banks: number): number[] {
  const board = railOf(count, banks);
  const workbench = openWorkbench(board);
  const [plus = 0, minus = 0] = ['P48', 'GND'].map((name) => board.netNamed.get(name)?.index);
  const capacitor = (k: number): number => board.partNamed.get(`C${k}`)?.index ?? 0;
  const works: number[] = [];
  let evidence: Evidence = NO_EVIDENCE;
  let id = 0;
  const under = (state: BoardState, kind: 'beep' | 'quiet'): void => {
    const reading = {
      id: ++id,
      mode: 'continuity' as const,
      red: { net: plus },
      black: { net: minus },
    };
    const taken = { ...reading, value: { kind }, state };
    evidence = { ...evidence, state, readings: [...evidence.readings, taken] };
    works.push(analyse(workbench, evidence).beliefs.expanded);
  };
  under(evidence.state, 'beep');
  under(withLifted(evidence.state, [board.parts[capacitor(0)]?.pins[1] ?? 0]), 'beep');
  under(withOff(evidence.state, [capacitor(1), capacitor(2), capacitor(3)]), 'beep');
  for (const k of [4, 5, 6, 7]) under(withOff(evidence.state, [capacitor(k)]), 'beep');
  // With several banks a silence at last leaves it open, of 500 more than of 20, whether it was read right.
  under(withOff(evidence.state, [capacitor(8)]), banks > 1 ? 'beep' : 'quiet');
  return works;
}

it.each([0, 1, 4])(
  '500 capacitors alike cost no more reasoning than 20, in %i banks, lifts that split them included',
  (banks) => {
    const few = workOf(20, banks);
    const many = workOf(500, banks);
    expect(few.length).toBe(8);
    many.forEach((work, k) => {
      expect(work).toBeLessThanOrEqual((few[k] as number) * 1.01);
    });
  },
);
