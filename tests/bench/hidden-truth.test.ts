import { spawnSync } from 'node:child_process';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { drawCopper } from '../benchmarks/copper-draw.mjs';
import { Conductors } from '../benchmarks/copper-solve.mjs';
import { dice } from '../benchmarks/dice.mjs';

// The copper that the benchmark judges the engine by must itself be right.

type Edge = readonly [number, number, number];

describe('a solver of hidden copper', () => {
  it('adds up the stretches of a tree, and leaves side branches out', () => {
    //   0 ─2─ 1 ─3─ 2
    //         └─5─ 3
    const tree = new Conductors(4, [
      [0, 1, 2],
      [1, 2, 3],
      [1, 3, 5],
    ]);
    expect(tree.ohms(0, 2)).toBeCloseTo(5, 9);
    expect(tree.ohms(3, 2)).toBeCloseTo(8, 9);
    expect(tree.volts(0, 2, 0.5)?.[3]).toBeCloseTo(1.5, 9);
  });

  it('knows the resistance across an edge of a cube of equal resistors: 7/12', () => {
    const edges: Edge[] = [];
    for (let n = 0; n < 8; n++) {
      for (const bit of [1, 2, 4]) if ((n & bit) === 0) edges.push([n, n | bit, 1]);
    }
    expect(new Conductors(8, edges).ohms(0, 1)).toBeCloseTo(7 / 12, 9);
    expect(new Conductors(8, edges).ohms(0, 7)).toBeCloseTo(5 / 6, 9);
  });

  it('comes near 1/2 across an edge in the middle of a wide sheet', () => {
    expect(new Conductors(101 * 101, sheet(101)).ohms(50 * 101 + 50, 50 * 101 + 51)).toBeCloseTo(
      0.5,
      3,
    );
  });

  it('finds nothing between pieces that nothing joins', () => {
    expect(new Conductors(3, [[0, 1, 1]]).ohms(0, 2)).toBe(Number.POSITIVE_INFINITY);
  });

  it.skipIf(!hasSimulator())('agrees with ngspice on drawn trees, trunks and planes', () => {
    for (const [k, shape] of (['tree', 'trunk', 'plane'] as const).entries()) {
      const next = dice(k + 5);
      const pads = Array.from({ length: 24 }, () => [30 * next(), 20 * next()] as const);
      const { count, edges, nodes } = drawCopper(shape, { pads, wide: 1, next });
      const [from, to] = [nodes[3] as number, nodes[20] as number];
      const told = simulated(edges, from, to);
      expect(new Conductors(count, edges).ohms(from, to) / told).toBeCloseTo(1, 4);
    }
  });
});

function sheet(size: number): Edge[] {
  return Array.from({ length: size * size }, (_, n): Edge[] => [
    ...((n + 1) % size === 0 ? [] : [[n, n + 1, 1] as const]),
    ...(n + size < size * size ? [[n, n + size, 1] as const] : []),
  ]).flat();
}

function hasSimulator(): boolean {
  return spawnSync('ngspice', ['--version']).status === 0;
}

/** Ω by ngspice: one ampere in at `from` and out at `to`. */
function simulated(edges: readonly Edge[], from: number, to: number): number {
  const node = (n: number): string => (n === to ? '0' : `n${n}`);
  const deck = [
    '* hidden copper',
    ...edges.map(([a, b, ohms], k) => `r${k} ${node(a)} ${node(b)} ${ohms}`),
    `i1 0 ${node(from)} 1`,
    '.control',
    'set numdgt=12',
    'op',
    `print v(${node(from)})`,
    '.endc',
    '.end',
    '',
  ];
  const file = join(mkdtempSync(join(tmpdir(), 'trace-short-copper-')), 'copper.cir');
  writeFileSync(file, deck.join('\n'));
  const { stdout } = spawnSync('ngspice', ['-n', '-b', file], { encoding: 'utf8' });
  return Number(/^v\(\w+\) = (\S+)$/m.exec(stdout)?.[1]);
}
