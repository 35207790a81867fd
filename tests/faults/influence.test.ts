import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { Random } from '../../src/bench/random.ts';
import { loadBoard } from '../../src/board/load.ts';
import { weigh } from '../../src/faults/diagnose.ts';
import { Influence } from '../../src/faults/influence.ts';
import { observationFit } from '../../src/faults/observation.ts';
import type { Explanation, Problem } from '../../src/faults/problem.ts';
import { predict, worldOf } from '../../src/faults/world.ts';
import { smallBench, smallBoard, truthfulEvidence } from './random-board.ts';

const SEED = Number(process.env.TRACE_SHORT_SEED ?? 1);

/** What was spared, and what was not, of all observations under up to two faults and one more. */
function goThrough(
  problem: Problem,
  random: Random,
  tries: number,
): { spared: number; rest: number } {
  const { circuit, universe, observations, meter, settings } = problem;
  const count = { spared: 0, rest: 0 };
  const draw = (): number => Math.floor(random.next() * universe.faults.length);
  for (let n = 0; n < tries; n++) {
    const faults = Array.from({ length: n % 3 }, draw);
    const worlds = observations.map(({ state }) => worldOf(circuit, universe, state, faults));
    const predictions = observations.map(({ a, b }, k) => predict(worlds[k]!, a, b));
    const fits = Float64Array.from(observations, (observation, k) =>
      observationFit(observation, predictions[k]!, meter, settings),
    );
    const explanation: Explanation = {
      faults,
      accused: faults,
      name: '',
      decisions: undefined,
      mass: 1,
      predictions,
      fits,
    };
    const influence = new Influence(problem, explanation);
    const fault = universe.faults[draw()]!;
    for (const observation of observations) {
      const { index, a, b, state } = observation;
      if (!influence.spares(fault, observation)) {
        count.rest++;
        continue;
      }
      count.spared++;
      const anew = predict(worldOf(circuit, universe, state, [...faults, fault.id]), a, b);
      const held = predictions[index]!.ohms;
      const what = `${fault.what} ${fault.mode} under ${faults.join('+')}`;
      if (held === Number.POSITIVE_INFINITY) expect(anew.ohms, what).toBe(held);
      else expect(Math.abs(anew.ohms - held), what).toBeLessThanOrEqual(1e-6 * held + 1e-9);
      const fit = observationFit(observation, anew, meter, settings);
      expect(fit, what).toBeCloseTo(fits[index]!, 5);
    }
  }
  return count;
}

test(`what a fault is said to leave alone reads the same with it, on random boards (seed ${SEED})`, {
  timeout: 60_000,
}, () => {
  const random = new Random(SEED);
  const sum = { spared: 0, rest: 0 };
  for (let n = 0; n < 150; n++) {
    const bench = smallBench(smallBoard(random), {});
    const { problem } = weigh(bench, truthfulEvidence(bench, random));
    const { spared, rest } = goThrough(problem, random, 20);
    sum.spared += spared;
    sum.rest += rest;
  }
  expect(sum.spared).toBeGreaterThan(1000);
  expect(sum.rest).toBeGreaterThan(1000);
});

test(`the same on a motor drive, with shorts across three pins (seed ${SEED})`, {
  timeout: 60_000,
}, () => {
  const random = new Random(SEED);
  const file = new URL('../../boards/hoist-drive.yaml', import.meta.url);
  const { board } = loadBoard(readFileSync(file, 'utf8'), 'hoist-drive.yaml');
  const bench = smallBench(board, {});
  let spared = 0;
  for (let n = 0; n < 10; n++) {
    const { problem } = weigh(bench, truthfulEvidence(bench, random));
    spared += goThrough(problem, random, 60).spared;
  }
  expect(spared).toBeGreaterThan(100);
});
