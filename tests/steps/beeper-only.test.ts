import { expect, test } from 'vitest';
import { SimulatedBench } from '../../src/bench/simulated-bench.ts';
import { loadBoard } from '../../src/board/load.ts';
import { COMMON_HANDHELD } from '../../src/circuit/meter.ts';
import { withOff } from '../../src/circuit/state.ts';
import { type Evidence, NO_EVIDENCE } from '../../src/faults/evidence.ts';
import { advise, analyse, openWorkbench } from '../../src/steps/advise.ts';

const TEXT = `board: Supply with an inrush thermistor
rails: {in: {plus: IN, minus: GND, volts: 24}, out: {plus: OUT, minus: GND, volts: 24}}
parts:
  RT1: {kind: thermistor, ohms: 5, pins: [IN, OUT]}
  R1: {kind: resistor, ohms: 10, pins: [IN, OUT]}
  D1: {kind: suppressor, pins: {A: GND, K: OUT}}
  C1: {kind: ceramic, farads: 1u, pins: [IN, GND]}
  Q1: {kind: n-mosfet, pins: {G: GATE, D: OUT, S: GND}}
`;

test('a meter that only beeps is asked for nothing else', () => {
  const { board } = loadBoard(TEXT, 'supply.yaml');
  const { continuity } = COMMON_HANDHELD.drives;
  if (continuity === undefined) throw new Error('the common handheld beeps');
  const meter = { ...COMMON_HANDHELD, drives: { continuity } };
  const workbench = openWorkbench(board, { meter });
  const these = [{ part: 'Q1', mode: 'D-S short' }];
  const bench = new SimulatedBench(board, { seed: 1, faults: 0, meter, these });
  let evidence: Evidence = NO_EVIDENCE;
  let reads = 0;
  for (let id = 1; id < 30; id++) {
    const { step } = advise(analyse(workbench, evidence));
    const probe = step.kind === 'read' ? step.probe : 'then' in step ? step.then : undefined;
    if (step.kind === 'remove') {
      evidence = { ...evidence, state: withOff(evidence.state, step.parts), lastChange: id };
    } else if (step.kind !== 'read') break;
    if (probe === undefined) continue;
    expect(probe.mode).toBe('continuity');
    reads++;
    const { state } = evidence;
    const reading = { ...probe, value: bench.answer(probe, state), state, id };
    evidence = { ...evidence, readings: [...evidence.readings, reading] };
  }
  expect(reads).toBeGreaterThan(2);
});
