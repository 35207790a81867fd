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

it('a network eliminated in the order of another reads the same', () => {
  const random = new Random(8);
  const branches = largeNetwork(random);
  const first = new Network(NODES, branches);
  for (let round = 0; round < 5; round++) {
    const fewer = branches.filter(() => random.next() > 0.01);
    const own = new Network(NODES, fewer);
    const like = new Network(NODES, fewer, first);
    for (let k = 0; k < 50; k++) {
      const [a, b] = [0, 1].map(() => Math.floor(random.next() * NODES)) as [number, number];
      const [x, y] = [like.resistance(a, b), own.resistance(a, b)];
      if (y === Number.POSITIVE_INFINITY) expect(x).toBe(y);
      else expect(Math.abs(x - y)).toBeLessThanOrEqual(1e-9 * y);
    }
  }
});
