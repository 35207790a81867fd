import { expect, test } from 'vitest';
import { Random } from '../../src/bench/random.ts';
import type { Beliefs } from '../../src/faults/beliefs.ts';
import { weigh } from '../../src/faults/diagnose.ts';
import type { FaultSettings } from '../../src/faults/settings.ts';
import { believedSets, distance, uncovered } from './believed-sets.ts';
import { exactSets } from './brute-force.ts';
import { smallBench, smallBoard, truthfulEvidence } from './random-board.ts';

const SEED = Number(process.env.TRACE_SHORT_SEED ?? 1);
/** Total variation distance between weights of fault sets. */
const MOST_OFF = 0.01;
/** Weight that lies outside the bound by what the parts of it leave out. */
const ROUNDING = 1e-4;
/** Boards with more sets of faults are left out. */
const MOST_SETS = 2 ** 14;

interface Run {
  readonly from: number;
  readonly count: number;
  readonly settings: Partial<FaultSettings>;
  /** Most parts of a board. */
  readonly parts?: number;
  readonly mostSets?: number;
  /** Share of parts that conduct one way, and of readings in diode test; default: none. */
  readonly lit?: number;
}

interface Row {
  readonly name: string;
  readonly off: number;
  readonly leftOut: number;
  readonly uncovered: number;
  readonly twice: number;
}

/** Random boards with random evidence, weighed and gone through. */
function compare({ from, count, settings, parts = 14, mostSets = MOST_SETS, lit = 0 }: Run): Row[] {
  return Array.from({ length: count }, (_, k) => from + k).flatMap((seed) => {
    const random = new Random(seed);
    const bench = smallBench(smallBoard(random, parts, lit), settings);
    const beliefs: Beliefs = weigh(bench, truthfulEvidence(bench, random, lit));
    const exact = exactSets(beliefs.problem, mostSets);
    if (exact === undefined) return [];
    const { weight, twice } = uncovered(beliefs, exact);
    const off = distance(exact, believedSets(beliefs));
    return [{ name: `seed ${seed}`, off, leftOut: beliefs.leftOut, uncovered: weight, twice }];
  });
}

/** Shorts and changed ohms by themselves, and a search that goes on to the end. */
const THOROUGH = { jointFit: 0, leftOutRatio: 1e-4, searchBudget: 20_000, idleBudget: 20_000 };

function expectBound(rows: readonly Row[]): void {
  for (const row of rows) {
    expect(row.uncovered, row.name).toBeLessThanOrEqual(row.leftOut + ROUNDING);
    expect(row.twice, `${row.name}: sets that two explanations take in`).toBe(0);
  }
}

test('weights are those of going through all sets, on 500 boards of up to 14 parts', {
  timeout: 240_000,
}, () => {
  const rows = compare({ from: 1, count: 660, settings: THOROUGH });
  expect(rows.length).toBeGreaterThanOrEqual(500);
  for (const { name, off } of rows) expect(off, name).toBeLessThanOrEqual(MOST_OFF);
  expect(rows.reduce((sum, { off }) => sum + off, 0) / rows.length).toBeLessThan(0.001);
  expectBound(rows);
});

test(`the same on boards nobody has looked at (seed ${SEED})`, { timeout: 120_000 }, () => {
  const rows = compare({ from: SEED, count: 60, settings: THOROUGH });
  for (const { name, off } of rows) expect(off, name).toBeLessThanOrEqual(2 * MOST_OFF);
});

test('the same with parts that conduct one way, and readings in diode test', {
  timeout: 120_000,
}, () => {
  const rows = compare({ from: 1, count: 200, settings: THOROUGH, parts: 9, lit: 0.4 });
  expect(rows.length).toBeGreaterThan(100);
  for (const { name, off } of rows) expect(off, name).toBeLessThanOrEqual(MOST_OFF);
  expectBound(rows);
});

test('the same where joints may be open too', { timeout: 120_000 }, () => {
  const rows = compare({
    from: 1,
    count: 300,
    settings: { ...THOROUGH, jointFit: 3 },
    parts: 4,
    mostSets: 2 ** 16,
  });
  expect(rows.length).toBeGreaterThan(30);
  for (const { name, off } of rows) expect(off, name).toBeLessThanOrEqual(MOST_OFF);
  expectBound(rows);
});

test('with the usual effort weights are off by no more than what is reported left out', {
  timeout: 120_000,
}, () => {
  const rows = compare({ from: 5000, count: 150, settings: { jointFit: 0 } });
  for (const { name, off, leftOut } of rows) {
    expect(off, name).toBeLessThanOrEqual(leftOut + MOST_OFF);
  }
  expectBound(rows);
});

test('a search cut short reports at least the weight that it left out', {
  timeout: 120_000,
}, () => {
  const short = { ...THOROUGH, searchBudget: 5, idleBudget: 5 };
  const rows = compare({ from: 9000, count: 150, settings: short });
  expectBound(rows);
  expect(rows.some((row) => row.uncovered > 0.01)).toBe(true);
});
