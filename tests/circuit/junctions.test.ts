import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ampsAt, junctionLaw, THERMAL_VOLTS, voltsFor } from '../../src/circuit/junction-law.ts';
import { bundled, type Junction, JunctionNetwork } from '../../src/circuit/junction-network.ts';
import { type Branch, Network } from '../../src/circuit/network.ts';
import { NodalNewton } from '../../src/circuit/nodal-newton.ts';

const NODES = 5;
const node = fc.nat(NODES - 1);
const branch = fc
  .tuple(node, node, fc.double({ min: -2, max: 5, noNaN: true }))
  .filter(([a, b]) => a !== b)
  .map(([a, b, decade]): Branch => ({ a, b, ohms: 10 ** decade }));
const junction = fc
  .tuple(node, node, fc.constantFrom([0.55, 1.7], [0.25, 1.05], [0.65, 1], [1.7, 2.2]))
  .filter(([netA, netK]) => netA !== netK)
  .map(([netA, netK, [volts, slope]]): Junction => {
    return { netA, netK, volts: volts as number, slope: slope as number };
  });
const circuit = fc.record({
  branches: fc.array(branch, { maxLength: 6 }),
  junctions: fc.array(junction, { minLength: 1, maxLength: 6 }),
  added: fc.array(branch, { maxLength: 2 }),
  ends: fc.tuple(node, node).filter(([a, b]) => a !== b),
  amps: fc.constantFrom<number[]>(0.1, 1e-3, 1e-4, 1e-6),
});
type Sample = typeof circuit extends fc.Arbitrary<infer T> ? T : never;

const MOST_VOLTS = 3;

function solved({ branches, junctions, added, ends, amps }: Sample): number {
  const lit = new JunctionNetwork(new Network(NODES, branches), junctions);
  return Math.min(lit.volts(ends[0], ends[1], added, amps), 1000);
}

/** A out of a node, given the voltages of all; every path also leaks to the black point. */
function leaving(
  { branches, junctions, added, ends }: Sample,
  volts: number[],
  at: number,
): number {
  let amps = (volts[at]! - volts[ends[1]]!) * 1e-13;
  for (const { a, b, ohms } of [...branches, ...added]) {
    if (a === at) amps += (volts[a]! - volts[b]!) / ohms;
    if (b === at) amps += (volts[b]! - volts[a]!) / ohms;
  }
  for (const { netA, netK, volts: stated, slope } of junctions) {
    const through = ampsAt(junctionLaw(stated, slope), volts[netA]! - volts[netK]!);
    if (netA === at) amps += through;
    if (netK === at) amps -= through;
  }
  return amps;
}

const RAMP_VOLTS = 0.01;

/**
 * A that the ends carry when held at a voltage, raised from 0 in small steps: the voltages inside by
 * Newton's method on all nodes at once. Shares nothing with the solver.
 */
function carried(sample: Sample, across: number): number {
  const [red, black] = sample.ends;
  let volts = Array.from({ length: NODES }, () => 0);
  for (let held = 0; held < across; ) {
    held = Math.min(across, held + RAMP_VOLTS);
    volts = atRest(sample, volts.with(red, held).with(black, 0));
  }
  return leaving(sample, volts, red);
}

function atRest(sample: Sample, start: number[]): number[] {
  const inside = start.map((_, k) => k).filter((k) => !sample.ends.includes(k));
  const left = (at: number[]): number[] => inside.map((k) => leaving(sample, at, k));
  const size = (list: number[]): number => Math.max(...list.map(Math.abs));
  let volts = start;
  for (let round = 0; round < 60; round++) {
    const now = left(volts);
    if (size(now) < 1e-14) return volts;
    const moves = gauss(
      inside.map((k, r) => [...inside.map((j) => slope(sample, volts, k, j)), -now[r]!]),
    );
    for (let share = 1; share > 1e-6; share /= 2) {
      const next = volts.slice();
      inside.forEach((k, r) => {
        next[k]! += share * moves[r]!;
      });
      if (size(left(next)) >= size(now)) continue;
      volts = next;
      break;
    }
  }
  return volts;
}

function slope(sample: Sample, volts: number[], of: number, by: number): number {
  const step = 1e-7;
  const up = leaving(sample, volts.with(by, volts[by]! + step), of);
  const down = leaving(sample, volts.with(by, volts[by]! - step), of);
  return (up - down) / (2 * step) + (of === by ? 1e-16 : 0);
}

function gauss(rows: number[][]): number[] {
  const n = rows.length;
  for (let k = 0; k < n; k++) {
    const best = rows.slice(k).reduce((x, y) => (Math.abs(y[k]!) > Math.abs(x[k]!) ? y : x));
    rows.splice(k, 0, ...rows.splice(rows.indexOf(best), 1));
    for (let r = 0; r < n; r++) {
      if (r === k) continue;
      const f = rows[r]![k]! / rows[k]![k]!;
      for (let c = k; c <= n; c++) rows[r]![c]! -= f * rows[k]![c]!;
    }
  }
  return rows.map((row, k) => row[n]! / row[k]!);
}

describe('what a meter reads across junctions', () => {
  it('is the voltage at which the circuit carries just the current of the meter', () => {
    fc.assert(
      fc.property(circuit, (sample) => {
        const volts = solved(sample);
        if (volts > MOST_VOLTS) expect(carried(sample, MOST_VOLTS)).toBeLessThan(sample.amps);
        else {
          expect(carried(sample, volts * 1.002 + 2e-5)).toBeGreaterThan(sample.amps);
          expect(carried(sample, volts * 0.998 - 2e-5)).toBeLessThan(sample.amps);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('is the same by all nodes at once as by the junctions that carry current', () => {
    fc.assert(
      fc.property(circuit, (sample) => {
        const { branches, junctions, added, ends, amps } = sample;
        const all = new NodalNewton(new Network(NODES, branches), bundled(junctions));
        const dark = all.startFrom(() => Number.NaN, amps);
        const [red, black] = ends;
        // From nothing, and from the same board without what was added.
        const plain = all.solve(red, black, [], amps, dark).across;
        const other = solved(sample);
        for (const start of [dark, plain]) {
          const volts = Math.min(all.solve(red, black, added, amps, start).volts, 1000);
          expect(Math.abs(volts - other)).toBeLessThanOrEqual(1e-3 * other + 1e-5);
        }
      }),
      { numRuns: 500 },
    );
  });

  it('never rises with more current paths, and rises with the current', () => {
    fc.assert(
      fc.property(circuit, junction, branch, (sample, more, way) => {
        const volts = solved(sample);
        const slack = 1e-4 + 1e-4 * volts;
        const junctions = [...sample.junctions, more];
        expect(solved({ ...sample, junctions })).toBeLessThanOrEqual(volts + slack);
        const added = [...sample.added, way];
        expect(solved({ ...sample, added })).toBeLessThanOrEqual(volts + slack);
        expect(solved({ ...sample, amps: sample.amps * 3 })).toBeGreaterThanOrEqual(volts - slack);
      }),
      { numRuns: 300 },
    );
  });

  it('is that of resistances alone where junctions are dark', () => {
    fc.assert(
      fc.property(circuit, (sample) => {
        const linear = new Network(NODES, sample.branches);
        const { ohms } = linear.solve(sample.ends[0], sample.ends[1], sample.added);
        const volts = sample.amps * ohms;
        fc.pre(new JunctionNetwork(linear, sample.junctions).isDark(volts, sample.amps));
        expect(Math.abs(solved(sample) - volts)).toBeLessThan(1e-4 * volts + 1e-6);
      }),
    );
  });

  it('turns when the probes are swapped, across one junction', () => {
    const lit = new JunctionNetwork(new Network(2, []), [
      { netA: 0, netK: 1, volts: 0.6, slope: 1.7 },
    ]);
    expect(lit.volts(0, 1, [], 1e-3)).toBeCloseTo(0.6, 4);
    expect(lit.volts(1, 0, [], 1e-3)).toBeGreaterThan(1000);
    expect(lit.volts(0, 1, [], 1e-4)).toBeCloseTo(0.6 - 1.7 * THERMAL_VOLTS * Math.LN10, 3);
  });

  it.each([1e6, 1e7, 3e7, 1e8, 1e9])('keeps its digits beside a path of %d Ω', (ohms) => {
    const branches = [
      { a: 3, b: 0, ohms: 510e3 },
      { a: 4, b: 3, ohms: 33e3 },
      { a: 5, b: 0, ohms: 1.6e6 },
      { a: 1, b: 4, ohms },
    ];
    const junctions = [2, 1].map((netK) => ({ netA: 0, netK, volts: 0.6, slope: 1.2 }));
    const lit = new JunctionNetwork(new Network(6, branches), junctions);
    const half = voltsFor(junctionLaw(0.6, 1.2), 0.05); // what each would take, but for 0.05 Ω
    const volts = lit.volts(0, 1, [{ a: 1, b: 2, ohms: 0.05 }], 0.1);
    expect(volts).toBeGreaterThan(half);
    expect(volts).toBeLessThan(half + 0.0025);
  });

  it('law and its inverse agree', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-9, max: 0.1, noNaN: true }), (amps) => {
        const law = junctionLaw(0.55, 1.7);
        expect(ampsAt(law, voltsFor(law, amps)) / amps).toBeCloseTo(1, 6);
      }),
    );
  });
});
