import fc from 'fast-check';
import { expect, it } from 'vitest';
import { boardGraph } from '../../src/circuit/board-graph.ts';
import type { View } from '../../src/circuit/circuit.ts';
import { reach, strongSet } from '../../src/circuit/conduction.ts';
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
    graph: () => boardGraph(NODES, branches),
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
