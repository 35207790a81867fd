import { expect, it } from 'vitest';
import { Random } from '../../src/bench/random.ts';
import { type Branch, Network } from '../../src/circuit/network.ts';
import type { ShortTable, StateFaults } from '../../src/faults/state-faults.ts';
import { type StrongShorts, strongShorts } from '../../src/faults/strong-shorts.ts';
import type { Universe } from '../../src/faults/universe.ts';

const NETS = 9;

interface Case {
  readonly network: Network;
  readonly shorts: readonly Branch[];
  readonly chances: Float64Array;
  readonly limit: number;
  readonly named: StrongShorts;
}

/** A network in one piece, single shorts on it, and a resistance below that of its two points. */
function drawCase(random: Random, leastShare: number): Case {
  const pick = (): number => Math.floor(random.next() * NETS);
  const ohms = (decades: number): number => 10 ** (1 + decades * random.next());
  const branches: Branch[] = [];
  for (let b = 1; b < NETS; b++) {
    branches.push({ a: Math.floor(random.next() * b), b, ohms: ohms(4) });
  }
  for (let k = 0; k < 6; k++) branches.push({ a: pick(), b: pick(), ohms: ohms(4) });
  const network = new Network(
    NETS,
    branches.filter(({ a, b }) => a !== b),
  );
  const shorts = Array.from({ length: 24 }, (): Branch => ({ a: pick(), b: pick(), ohms: 0.1 }));
  const whole = network.resistance(0, 1);
  const limit = whole * (0.2 + 0.6 * random.next());
  const chances = Float64Array.from(shorts, () => 1e-3 * random.next());
  const table: ShortTable = {
    ids: Int32Array.from(shorts.keys()),
    starts: Int32Array.from([...shorts.keys(), shorts.length]),
    a: Int32Array.from(shorts, ({ a }) => a),
    b: Int32Array.from(shorts, ({ b }) => b),
    ohms: Float64Array.from(shorts, (short) => short.ohms),
  };
  const bank = new Int32Array(shorts.length).fill(-1);
  const named = strongShorts(
    { before: chances, bank } as unknown as Universe,
    { table } as unknown as StateFaults,
    {
      branches: network.branches,
      points: [0, 1],
      volts: network.allVoltages(0, 1, []).map((volts, _, all) => {
        return (volts - (all[1] as number)) / whole;
      }),
      siemens: 1 / limit - 1 / whole,
      isEnough: () => true,
    },
    leastShare,
  );
  return { network, shorts, chances, limit, named };
}

/** Chance of all sets of one and two shorts that explain the reading with none named among them. */
function unnamedChance({ network, shorts, chances, limit, named }: Case): number {
  const isNamed = new Set(named.shorts.map(({ id }) => id));
  const others = [...shorts.keys()].filter((id) => !isNamed.has(id));
  let sum = 0;
  others.forEach((one, k) => {
    const explains = (...ids: number[]): boolean =>
      network.solve(
        0,
        1,
        ids.map((id) => shorts[id] as Branch),
      ).ohms <
      limit * (1 - 1e-6);
    if (explains(one)) sum += chances[one] as number;
    for (const other of others.slice(k + 1)) {
      if (explains(one, other)) sum += (chances[one] as number) * (chances[other] as number);
    }
  });
  return sum;
}

it('what explains a reading without the shorts named is no likelier than what is said to be left out', () => {
  const random = new Random(11);
  let spared = 0;
  for (let round = 0; round < 400; round++) {
    const one = drawCase(random, round % 2 === 0 ? 0 : 0.5);
    spared += one.shorts.length - one.named.shorts.length;
    expect(unnamedChance(one)).toBeLessThanOrEqual(one.named.leftOut * (1 + 1e-9));
  }
  expect(spared).toBeGreaterThan(400); // and it does spare the search some
});

it('a short said not to be enough does not explain the reading by itself', () => {
  const random = new Random(12);
  let weak = 0;
  for (let round = 0; round < 400; round++) {
    const { network, shorts, limit, named } = drawCase(random, 0);
    for (const { id, isEnough } of named.shorts) {
      if (isEnough) continue;
      weak++;
      const { ohms } = network.solve(0, 1, [shorts[id] as Branch]);
      expect(ohms).toBeGreaterThanOrEqual(limit * (1 - 1e-6));
    }
  }
  expect(weak).toBeGreaterThan(50);
});
