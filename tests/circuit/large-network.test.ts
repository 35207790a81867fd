import { expect, it } from 'vitest';
import { Random } from '../../src/bench/random.ts';
import { resistanceIn, solveAdded } from '../../src/circuit/added-branches.ts';
import { type Branch, LARGE_NETWORK, Network } from '../../src/circuit/network.ts';

const NODES = LARGE_NETWORK + 200;

/** A tree with loops, in two islands, resistances over six decades; the same for the same seed. */
function largeNetwork(random: Random): Branch[] {
  const ohms = (): number => 10 ** (6 * random.next() - 2);
  const pick = (below: number): number => Math.floor(random.next() * below);
  const branches: Branch[] = [];
  for (let b = 2; b < NODES; b++) {
    const a = b % 7 === 1 ? 1 : 2 * pick((b + 1) >> 1) + (b % 2);
    branches.push({ a: Math.min(a, b - 1), b, ohms: ohms() });
  }
  for (let k = 0; k < 300; k++) {
    const a = pick(NODES);
    branches.push({ a, b: pick(NODES), ohms: ohms() });
  }
  return branches.filter(({ a, b }) => a % 2 === b % 2);
}

it('single entries of a large network agree with whole columns', () => {
  const random = new Random(7);
  const network = new Network(NODES, largeNetwork(random));
  const pick = (): number => Math.floor(random.next() * NODES);
  const alike = (x: number, y: number): void => {
    if (y === Number.POSITIVE_INFINITY) expect(x).toBe(y);
    else expect(Math.abs(x - y)).toBeLessThanOrEqual(1e-9 * Math.abs(y) + 1e-12);
  };
  for (let round = 0; round < 200; round++) {
    const [a, b] = [pick(), pick()];
    const added = Array.from({ length: round % 4 }, () => ({
      a: pick(),
      b: pick(),
      ohms: 10 ** (3 * random.next() - 2),
    }));
    alike(network.resistance(a, b), resistanceIn(network, a, b));
    const solved = solveAdded(network, a, b, added);
    alike(network.solve(a, b, added).ohms, solved.ohms);
    const volts = network.voltages(a, b, added);
    const all = network.allVoltages(a, b, added);
    for (let k = 0; k < 20; k++) {
      const net = pick();
      const one = volts(net);
      if (one === undefined) expect(all[net]).toBeNaN();
      else expect(Math.abs(one - (all[net] as number))).toBeLessThan(1e-6 * (1 + Math.abs(one)));
    }
    if (a !== b && solved.ohms < Number.POSITIVE_INFINITY) {
      alike((volts(a) as number) - (volts(b) as number), solved.ohms);
    }
  }
});

it('a network eliminated in the order of another reads the same, in whole or in more or fewer islands', () => {
  const random = new Random(8);
  const pick = (): number => Math.floor(random.next() * NODES);
  const branches = largeNetwork(random);
  const first = new Network(NODES, branches);
  for (let round = 0; round < 10; round++) {
    const fewer = branches.filter(() => random.next() > [0.0003, 0.01, 0.1][round % 3]!);
    const links = Array.from({ length: Math.max(0, round - 6) }, () => {
      return { a: pick(), b: pick(), ohms: 0.02 };
    });
    const own = new Network(NODES, [...fewer, ...links]);
    const like = new Network(NODES, [...fewer, ...links], first);
    expect(like.islandCount).toBe(own.islandCount);
    for (let k = 0; k < 50; k++) {
      const [a, b] = [pick(), pick()] as [number, number];
      const added = Array.from({ length: k % 4 }, () => ({ a: pick(), b: pick(), ohms: 0.5 }));
      const [x, y] = [like.solve(a, b, added).ohms, own.solve(a, b, added).ohms];
      if (y === Number.POSITIVE_INFINITY) {
        expect(x).toBe(y);
        continue;
      }
      expect(Math.abs(x - y)).toBeLessThanOrEqual(1e-9 * y + 1e-12);
      const [volts, others] = [like, own].map((one) => one.allVoltages(a, b, added));
      for (const net of [b, pick(), pick()]) {
        const [u, v] = [volts, others].map((of) => (of![net] as number) - (of![a] as number));
        if (Number.isNaN(v)) expect(u).toBeNaN();
        else expect(Math.abs(u! - v!)).toBeLessThan(1e-7 * (1 + Math.abs(v!)));
      }
    }
  }
});
