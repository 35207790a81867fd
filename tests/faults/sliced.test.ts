import { expect, it } from 'vitest';
import { Random } from '../../src/bench/random.ts';
import type { Beliefs } from '../../src/faults/beliefs.ts';
import { type Bench, weigh, weighing } from '../../src/faults/diagnose.ts';
import type { Evidence } from '../../src/faults/evidence.ts';
import { smallBench, smallBoard, truthfulEvidence } from './random-board.ts';

/** Weighs until it has paused this many times, then stops. */
function stoppedAt(bench: Bench, evidence: Evidence, pauses: number): Beliefs {
  const work = weighing(bench, evidence);
  for (let count = 0; ; count++) {
    const step = work.next(count > pauses);
    if (step.done === true) return step.value;
  }
}

/** Boards on which the search goes on for a while, with readings of them. */
function cases(): { bench: Bench; evidence: Evidence }[] {
  return Array.from({ length: 40 }, (_, seed) => {
    const random = new Random(seed + 1);
    const bench = smallBench(smallBoard(random), { leftOutRatio: 1e-4 });
    return { bench, evidence: truthfulEvidence(bench, random) };
  });
}

function said({ explanations, leftOut }: Beliefs): unknown {
  return [leftOut, explanations.map(({ faults, weight }) => [faults, weight])];
}

it('pauses change nothing', () => {
  for (const { bench, evidence } of cases()) {
    const paced = stoppedAt(bench, evidence, Number.POSITIVE_INFINITY);
    expect(paced.isStopped).toBe(false);
    expect(said(paced)).toEqual(said(weigh(bench, evidence)));
  }
});

it('stopped early, it has an answer, and says that more weight was left out', () => {
  let stopped = 0;
  for (const { bench, evidence } of cases()) {
    const full = weigh(bench, evidence);
    for (const pauses of [0, 3, 6]) {
      const part = stoppedAt(bench, evidence, pauses);
      expect(part.explanations.length).toBeGreaterThan(0);
      if (!part.isStopped) continue;
      stopped++;
      expect(part.expanded).toBeLessThan(full.expanded);
      expect(part.leftOut).toBeGreaterThanOrEqual(full.leftOut);
      const share = part.explanations.reduce((sum, { weight }) => sum + weight, 0);
      expect(share).toBeCloseTo(1, 6);
    }
  }
  expect(stopped).toBeGreaterThan(10);
});
