import fc from 'fast-check';
import { expect, it } from 'vitest';
import { boardGraph, easiestPath } from '../../src/circuit/board-graph.ts';
import type { View } from '../../src/circuit/circuit.ts';
import { easiestWay, reach, strongSet } from '../../src/circuit/conduction.ts';
import { withJunctions } from '../../src/circuit/lit.ts';
import { type Branch, Network } from '../../src/circuit/network.ts';

const NODES = 7;

function viewOf(branches: readonly Branch[]): View {
  const touching = Array.from({ length: NODES }, (_, net) =>
    branches.flatMap(({ a, b }, k) => (a === net || b === net ? [k] : [])),
  );
  return {
    ...withJunctions(new Network(NODES, branches), () => []),
    elementOf: Int32Array.from(branches, (_, k) => k),
    touching,
    junctionsFrom: () => [],
  };
}

const branches = fc.array(
  fc
    .tuple(fc.nat(NODES - 1), fc.nat(NODES - 1), fc.double({ min: -1, max: 3, noNaN: true }))
    .filter(([a, b]) => a !== b)
    .map(([a, b, decade]): Branch => ({ a, b, ohms: 10 ** decade })),
  { maxLength: 14 },
);

it('no reading across the border of a strong set falls below its limit', () => {
  fc.assert(
    fc.property(branches, fc.nat(NODES - 1), fc.constantFrom(5, 50, 500), (all, from, limit) => {
      const view = viewOf(all);
      const inside = strongSet(view, [], from, -1, limit) ?? new Set();
      for (let net = 0; net < NODES; net++) {
        if (inside.has(net)) continue;
        expect(view.network.resistance(from, net)).toBeGreaterThanOrEqual(limit * (1 - 1e-9));
      }
    }),
  );
});

it('what a chain of resistances reaches reads at most the sum of the chain', () => {
  fc.assert(
    fc.property(branches, fc.nat(NODES - 1), (all, from) => {
      const view = viewOf(all);
      for (const [net, ohms] of reach(view, [], from, 100)) {
        expect(ohms).toBeLessThanOrEqual(100);
        expect(view.network.resistance(from, net)).toBeLessThanOrEqual(ohms * (1 + 1e-9) + 1e-12);
      }
    }),
  );
});

it('finds a way as easy as the graph library does, over added branches too', () => {
  fc.assert(
    fc.property(branches, branches, fc.nat(NODES - 1), fc.nat(NODES - 1), (all, added, a, b) => {
      const found = easiestWay(viewOf(all), added, a, b);
      const path = easiestPath(boardGraph(NODES, [...all, ...added]), a, b);
      expect(found === undefined).toBe(path === undefined);
      if (found === undefined || path === undefined) return;
      expect(found.ohms).toBeCloseTo(path.ohms, 9);
      let at = a;
      let sum = 0;
      for (const k of found.branches) {
        const branch = [...all, ...added][k] as Branch;
        expect([branch.a, branch.b]).toContain(at);
        at = branch.a === at ? branch.b : branch.a;
        sum += branch.ohms;
      }
      expect(at).toBe(b);
      expect(sum).toBeCloseTo(found.ohms, 9);
    }),
  );
});
