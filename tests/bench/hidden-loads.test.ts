import { expect, test } from 'vitest';
import { hiddenLoads } from '../../src/bench/hidden-loads.ts';
import { SimulatedBench } from '../../src/bench/simulated-bench.ts';
import { loadBoard } from '../../src/board/load.ts';
import { AS_FOUND, withLifted, withOff } from '../../src/circuit/state.ts';

const { board } = loadBoard(
  `board: One chip and one resistor
parts:
  U1: {kind: ic, pins: {A: NA, B: NB, C: NC, D: ND, E: NE, F: NF, G: NG, H: NH}}
  R1: {kind: resistor, ohms: 1k, pins: [NX, NY]}
`,
  'chip.yaml',
);
const net = (name: string): number => board.netNamed.get(name)?.index ?? -1;

test('an IC conducts between its pins by kilohms, and nothing else does', () => {
  const loads = hiddenLoads(board, 3);
  expect(loads.length).toBeGreaterThan(2);
  expect(hiddenLoads(board, 3)).toEqual(loads);
  expect(hiddenLoads(board, 4)).not.toEqual(loads);
  for (const { part, ohms } of loads) {
    expect(board.parts[part]?.name).toBe('U1');
    expect(ohms).toBeGreaterThanOrEqual(1e3);
    expect(ohms).toBeLessThanOrEqual(1e7);
  }
});

test('a meter shows it while the part and both legs are on the board', () => {
  const bench = new SimulatedBench(board, { seed: 3, faults: 0, hasLoads: true });
  const bare = new SimulatedBench(board, { seed: 3, faults: 0 });
  const u1 = board.partNamed.get('U1')!;
  const netAt = (pin: number): number => board.pins[pin]?.net ?? -1;
  for (const { a, b } of hiddenLoads(board, 3)) {
    const probe = { mode: 'ohms', red: { net: netAt(a) }, black: { net: netAt(b) } } as const;
    expect(bench.answer(probe, AS_FOUND).kind).toBe('ohms');
    expect(bare.answer(probe, AS_FOUND).kind).toBe('over');
    expect(bench.answer(probe, withOff(AS_FOUND, [u1.index])).kind).toBe('over');
    expect(bench.answer(probe, withLifted(AS_FOUND, [a])).kind).toBe('over');
    expect(bench.answer({ ...probe, mode: 'continuity' }, AS_FOUND).kind).toBe('quiet');
  }
  const across = { mode: 'ohms', red: { net: net('NX') }, black: { net: net('NY') } } as const;
  expect(bench.answer(across, AS_FOUND)).toMatchObject({ kind: 'ohms' });
});
