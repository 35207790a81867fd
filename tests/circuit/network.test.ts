import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Branch, Network } from '../../src/circuit/network.ts';

const NODES = 8;
const branch: fc.Arbitrary<Branch> = fc
  .tuple(fc.nat(NODES - 1), fc.nat(NODES - 1), fc.double({ min: -3, max: 5, noNaN: true }))
  .filter(([a, b]) => a !== b)
  .map(([a, b, decade]) => ({ a, b, ohms: 10 ** decade }));
const branches = fc.array(branch, { maxLength: 20 });
const pair = fc.tuple(fc.nat(NODES - 1), fc.nat(NODES - 1));

/** Ω by star-mesh reduction: every other node is taken out in turn. Shares nothing with the solver. */
function starMesh(all: readonly Branch[], a: number, b: number): number {
  const g = Array.from({ length: NODES }, () => new Array<number>(NODES).fill(0));
  for (const each of all) {
    g[each.a]![each.b]! += 1 / each.ohms;
    g[each.b]![each.a]! += 1 / each.ohms;
  }
  for (let k = 0; k < NODES; k++) {
    if (k === a || k === b) continue;
    const sum = g[k]!.reduce((x, y) => x + y, 0);
    for (let i = 0; sum > 0 && i < NODES; i++) {
      for (let j = 0; j < NODES; j++) if (i !== j) g[i]![j]! += (g[i]![k]! * g[k]![j]!) / sum;
    }
    for (let i = 0; i < NODES; i++) {
      g[i]![k] = 0;
      g[k]![i] = 0;
    }
  }
  return 1 / g[a]![b]!;
}

function expectClose(actual: number, expected: number): void {
  if (expected === Number.POSITIVE_INFINITY) expect(actual).toBe(expected);
  else expect(Math.abs(actual - expected)).toBeLessThanOrEqual(1e-6 * expected + 1e-9);
}

describe('what a meter reads between two nodes', () => {
  it('is what star-mesh reduction gives', () => {
    fc.assert(
      fc.property(branches, pair, (all, [a, b]) => {
        fc.pre(a !== b);
        const network = new Network(NODES, all);
        expectClose(network.resistance(a, b), starMesh(all, a, b));
        // Asked for once, and once more: nothing is left over from the time before.
        for (const ohms of [network.resistanceOnce(a, b), network.resistanceOnce(b, a)]) {
          expectClose(ohms, starMesh(all, a, b));
        }
      }),
    );
  });

  it('is the same whether a branch was there from the start or is added later', () => {
    fc.assert(
      fc.property(branches, fc.array(branch, { maxLength: 4 }), pair, (all, more, [a, b]) => {
        fc.pre(a !== b);
        const { ohms } = new Network(NODES, all).solve(a, b, more);
        expectClose(ohms, starMesh([...all, ...more], a, b));
      }),
    );
  });

  it('does not depend on which probe is red', () => {
    fc.assert(
      fc.property(branches, fc.array(branch, { maxLength: 3 }), pair, (all, more, [a, b]) => {
        const network = new Network(NODES, all);
        expectClose(network.solve(a, b, more).ohms, network.solve(b, a, more).ohms);
      }),
    );
  });

  it('never rises when a short is added, and never falls when a part is opened', () => {
    fc.assert(
      fc.property(branches, branch, pair, (all, more, [a, b]) => {
        fc.pre(a !== b);
        const without = new Network(NODES, all).resistance(a, b);
        const { ohms } = new Network(NODES, all).solve(a, b, [{ ...more, ohms: 0 }]);
        expect(ohms).toBeLessThanOrEqual(without * (1 + 1e-9));
        const opened = new Network(NODES, all.slice(1)).resistance(a, b);
        expect(opened).toBeGreaterThanOrEqual(without * (1 - 1e-6));
      }),
    );
  });

  it('scales with all resistances', () => {
    fc.assert(
      fc.property(branches, pair, fc.constantFrom(1e-3, 7, 1e3), (all, [a, b], by) => {
        const scaled = all.map((each) => ({ ...each, ohms: each.ohms * by }));
        expectClose(
          new Network(NODES, scaled).resistance(a, b),
          new Network(NODES, all).resistance(a, b) * by,
        );
      }),
    );
  });

  it('of an exact short between two islands is the sum of what leads up to it', () => {
    //  0 ─ 10 ─ 1    2 ─ 5 ─ 3, with 1 and 2 shorted
    const network = new Network(4, [
      { a: 0, b: 1, ohms: 10 },
      { a: 2, b: 3, ohms: 5 },
    ]);
    expect(network.resistance(0, 3)).toBe(Number.POSITIVE_INFINITY);
    expect(network.solve(0, 3, [{ a: 1, b: 2, ohms: 0 }]).ohms).toBeCloseTo(15, 12);
  });

  it('refuses a branch of no ohms in the network itself', () => {
    expect(() => new Network(2, [{ a: 0, b: 1, ohms: 0 }])).toThrow(RangeError);
  });
});

it('a ladder of a thousand rungs meets its closed form', () => {
  // Series 1 Ω, shunt 1 Ω, without end: the golden ratio.
  const count = 1000;
  const rungs = Array.from({ length: count }, (_, k) => [
    { a: k + 1, b: k + 2, ohms: 1 },
    { a: k + 2, b: 0, ohms: 1 },
  ]).flat();
  const network = new Network(count + 2, rungs);
  expect(network.resistance(1, 0)).toBeCloseTo((1 + Math.sqrt(5)) / 2, 10);
});

describe('the spread of a reading', () => {
  it('is how the reading moves when each branch is moved by its own', () => {
    fc.assert(
      fc.property(branches, fc.array(branch, { maxLength: 2 }), pair, (all, more, [a, b]) => {
        const network = new Network(NODES, all);
        const { ohms } = network.solve(a, b, more);
        fc.pre(a !== b && ohms < Number.POSITIVE_INFINITY);
        const step = 1e-4;
        const moved = all.map((_, k) => {
          const other = all.map((each, j) =>
            j === k ? { ...each, ohms: each.ohms * (1 + step) } : each,
          );
          return (new Network(NODES, other).solve(a, b, more).ohms - ohms) / ohms / step;
        });
        const expected = Math.hypot(...moved.map((slope) => slope * 0.05));
        const spread = network.spread(a, b, more, () => 0.05);
        expect(Math.abs(spread - expected)).toBeLessThan(1e-4 + 0.01 * expected);
      }),
    );
  });
});
