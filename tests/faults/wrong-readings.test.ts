import { describe, expect, it } from 'vitest';
import { SimulatedBench } from '../../src/bench/simulated-bench.ts';
import { AS_FOUND, withOff } from '../../src/circuit/state.ts';
import { askedParts } from '../../src/faults/asked-parts.ts';
import { Chances } from '../../src/faults/chances.ts';
import { doubtfulReadings, wrongSets } from '../../src/faults/contradictions.ts';
import { type Bench, weigh } from '../../src/faults/diagnose.ts';
import { type Evidence, NO_EVIDENCE } from '../../src/faults/evidence.ts';
import { NearShorts } from '../../src/faults/near-shorts.ts';
import { observationsOf } from '../../src/faults/observation.ts';
import type { Problem } from '../../src/faults/problem.ts';
import { type SearchResult, search } from '../../src/faults/search.ts';
import { allOf } from '../../src/faults/sliced.ts';
import { foresee } from '../../src/faults/standing.ts';
import { openWorkbench } from '../../src/steps/advise.ts';
import { dice } from '../benchmarks/dice.mjs';
import { drawReadings, truthOf } from '../benchmarks/wrong-case.mjs';
import { Job, shippedBoard } from '../cases/bench.ts';

/** Readings turned round, of 50: what a job of many hours may hold. */
const WRONG = [1, 2, 3, 4, 5];
const COUNT = 50;

interface Searched {
  readonly result: SearchResult;
  /** Mass of the world with just the planted faults. */
  readonly truth: number;
}

/** One to three planted faults, and beeper readings in many places, some of them wrong. */
function planted({ circuit: { board } }: Bench, wrong: number, seed = 1000 * wrong) {
  const next = dice(seed);
  const faults = 1 + Math.floor(3 * next());
  const simulated = new SimulatedBench(board, { seed, faults });
  const drawing = { next, count: COUNT, wrong, start: AS_FOUND, withOff, ohmsShare: 0 };
  return { ...drawReadings(board, { bench: simulated, ...drawing }), simulated };
}

/** What the search makes of them. */
function searched(bench: Bench, wrong: number): Searched {
  const { readings, state, simulated } = planted(bench, wrong);
  const problem = problemOf(bench, { ...NO_EVIDENCE, readings, state });
  const result = allOf(search(problem, new NearShorts(problem)));
  const truth = truthOf(problem, simulated.faults, { Chances, foresee });
  if (truth === undefined) throw new Error('a planted fault is none of those listed');
  return { result, truth: truth.mass };
}

function problemOf(bench: Bench, evidence: Evidence): Problem {
  const { circuit, meter, settings, outcomes, workspace } = bench;
  const asked = askedParts(circuit, evidence.readings);
  const observations = observationsOf(evidence.readings, meter, settings, asked, () => undefined);
  const faults = bench.universes.for(evidence, asked);
  const numbers = outcomes.number(observations);
  return { circuit, ...faults, observations, outcomes, numbers, meter, settings, workspace };
}

describe.each(['hoist-drive', 'bypass-rail', 'bench-flyback'])('wrong readings on %s', (name) => {
  const { bench } = openWorkbench(shippedBoard(name));

  it.each(WRONG)('%i of them leave the heaviest explanation no lighter than the truth', (wrong) => {
    const { result, truth } = searched(bench, wrong);
    const heaviest = Math.max(...result.explanations.map(({ mass }) => mass));
    expect(heaviest).toBeGreaterThanOrEqual(truth);
  });
});

describe('a wrong reading late in a job', () => {
  const hoist = new Job(shippedBoard('hoist-drive'));

  it('does not keep the search from the faults that explain all others', () => {
    const { evidence } = hoist.derive([
      'P48 GND beep',
      'V12_DRV GND quiet',
      'V5 GND_LOG quiet',
      'PH_U G6 258.7k ohm',
      'G7 G10 19.97k ohm',
      'remove Q10 Q11 Q12',
      'PH_V GND beep',
      'remove Q7 Q8 Q9',
      'P48 PH_V quiet',
      'lift W3',
      'P48 GND beep',
      'P48_LOG GND_LOG quiet',
      'P48 PH_W beep',
      'remove C1 C2 C3 C4 C5 C6',
      'P48 GND quiet',
      'GND SN_W 6.742 ohm',
    ]);
    const problem = problemOf(hoist.workbench.bench, evidence);
    const [heaviest] = allOf(search(problem, new NearShorts(problem))).explanations;
    const accused = heaviest?.faults.flatMap((id) =>
      hoist.names(problem.universe.faults[id]?.members.map(({ part }) => part) ?? []),
    );
    for (const name of ['C1', 'Q7', 'Q16']) expect(accused).toContain(name);
  });
});

describe('several wrong readings', () => {
  const { bench } = openWorkbench(shippedBoard('bench-flyback'));

  it.each([
    [3, 3000],
    [4, 4003],
    [5, 5000],
  ])('are named together and asked for again, %i of them', (wrong, seed) => {
    const { readings, state, turned } = planted(bench, wrong, seed);
    const beliefs = weigh(bench, { ...NO_EVIDENCE, readings, state });
    const doubtful = doubtfulReadings(beliefs).map(({ id }) => id);
    expect(doubtful).toEqual(expect.arrayContaining(turned));
    const sets = wrongSets(beliefs);
    expect(sets.map((set) => set.readings)).toContainEqual(turned);
    const weights = sets.map(({ weight }) => weight);
    expect(weights).toEqual(weights.toSorted((x, y) => y - x));
  });
});
