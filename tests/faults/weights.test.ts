import { expect, test } from 'vitest';
import { Random } from '../../src/bench/random.ts';
import { weigh } from '../../src/faults/diagnose.ts';
import { bruteForce } from './brute-force.ts';
import { smallBench, smallBoard, truthfulEvidence } from './random-board.ts';

const SEED = Number(process.env.TRACE_SHORT_SEED ?? 1);
const BOARDS = 100;
/** Two faults that only together fit a number are the one thing the weights may miss a little of. */
const WORST = 0.06;
const MEAN_WORST = 0.008;

/** A board of this one reads as it does only with a short and, on the way to it, an open. */
const OPEN_ASIDE = 306_883_721;

test.each([SEED, OPEN_ASIDE])(
  'the search weighs faults as going through all sets does (seed %i)',
  {
    timeout: 120_000,
  },
  (seed) => {
    const random = new Random(seed);
    const worst: number[] = [];
    for (let n = 0; n < BOARDS; n++) {
      const board = smallBoard(random);
      const bench = smallBench(board, {
        jointFit: 0,
        leftOutRatio: 1e-4,
        searchBudget: 20_000,
        idleBudget: 20_000,
      });
      const beliefs = weigh(bench, truthfulEvidence(bench, random));
      const { faults } = beliefs.problem.universe;
      if (faults.filter((fault) => fault.chance[0] > 0).length > 14) continue;
      const exact = bruteForce(beliefs.problem);
      const off = faults.map(({ id }) =>
        Math.abs((beliefs.chance[id] as number) - (exact[id] as number)),
      );
      worst.push(Math.max(...off));
      expect(Math.max(...off), `board ${n}`).toBeLessThan(WORST + beliefs.leftOut);
    }
    expect(worst.length).toBeGreaterThan(BOARDS / 2);
    expect(worst.reduce((a, b) => a + b, 0) / worst.length).toBeLessThan(MEAN_WORST);
  },
);
