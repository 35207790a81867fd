import { expect, it } from 'vitest';
import { predict, worldOf } from '../../src/faults/world.ts';
import { Foresight } from '../../src/steps/foresight.ts';
import { Job, shippedBoard } from '../cases/bench.ts';

it('readings foreseen for many lifts at once are those of each world by itself', () => {
  let asked = 0;
  const differing: unknown[] = [];
  for (const readings of [
    ['P48 GND beep', 'V12_DRV GND quiet'],
    ['P48 GND 0.4 ohm', 'V5 GND_LOG beep'],
  ]) {
    const analysis = new Job(shippedBoard('hoist-drive')).after(readings);
    const { circuit, universe } = analysis.beliefs.problem;
    const { candidates, forecaster } = new Foresight(analysis);
    for (const { probe, state } of [...candidates.lifts(), ...candidates.readings()]) {
      for (const { faults } of analysis.hypotheses) {
        const one = forecaster.predict(probe, state, faults);
        const world = worldOf(circuit, universe, state, faults);
        const anew = predict(world, probe.red.net, probe.black.net);
        asked++;
        if (one.ohms !== anew.ohms || one.spread !== anew.spread) differing.push([one, anew]);
      }
    }
  }
  expect(differing).toEqual([]);
  expect(asked).toBeGreaterThan(1000);
});
