// How the solver grows with a board: order, pattern, factor, column, fill and memory by size, with
// fitted exponents, and where the time of opening a large board goes.

import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { loadBoard } from '../../dist/board/load.js';
import { Circuit } from '../../dist/circuit/circuit.js';
import { factorize, planFactor, solveInPlace } from '../../dist/circuit/kernel/ldl.js';
import { minimumDegreeOrder } from '../../dist/circuit/kernel/ordering.js';
import { Network } from '../../dist/circuit/network.js';
import { AS_FOUND } from '../../dist/circuit/state.js';
import { randomBoardYaml } from './circuit-board.mjs';
import { heapBytes, median, medianMs, short, tableText } from './circuit-show.mjs';

const SIZES = [100, 300, 1000, 3000, 10_000, 20_000];
const SEED = 20_260;
const OPENINGS = 5;

export function measureGrowth() {
  console.log(
    '\ngrowth: random boards built like real ones, medians; exponents from 1,000 nets up',
  );
  const boards = SIZES.map((nets) => {
    const { board } = loadBoard(randomBoardYaml(nets, SEED), 'random');
    const { network, junctions } = new Circuit(board).view(AS_FOUND);
    const lit = junctions.map(({ netA, netK }) => ({ a: netA, b: netK, ohms: 1000 }));
    return { nets, bare: network.branches, lit: [...network.branches, ...lit] };
  });
  const meshes = SIZES.map((nets) => ({ nets, ...meshOf(nets) }));
  measureNetwork(boards[3].nets, boards[3].lit); // warm
  printTable('resistances', boards, 'bare');
  printTable('every junction conducts', boards, 'lit');
  printTable('a square mesh, worse than boards', meshes, 'bare');
  printOpening(SIZES.at(-1));
}

/** Joined to the next along and the next across: the fill of such a mesh is known to be n·log n. */
function meshOf(nets) {
  const side = Math.floor(Math.sqrt(nets));
  const bare = [];
  for (let node = 0; node < side * side; node++) {
    if (node % side > 0) bare.push({ a: node - 1, b: node, ohms: 100 });
    if (node >= side) bare.push({ a: node - side, b: node, ohms: 100 });
  }
  return { bare };
}

function printTable(title, boards, key) {
  const rows = boards.map(({ nets, [key]: branches }) => measureNetwork(nets, branches));
  const keys = Object.keys(rows[0]);
  const exponents = keys.map((name, c) =>
    c === 0 ? 'exponent' : slopeOf(rows, keys[0], name).toFixed(2),
  );
  const texts = rows.map((row) => keys.map((name) => short(row[name])));
  console.log(`\n${title}\n${tableText([keys, ...texts, exponents])}`);
}

function measureNetwork(nets, branches) {
  const given = conductancesOf(nets, branches);
  const { count, pairs } = given;
  const plan = planFactor(count, pairs);
  const factor = factorize(given, plan);
  const column = new Float64Array(count);
  return {
    nets,
    branches: branches.length,
    'order ms': medianMs(() => minimumDegreeOrder(count, pairs)),
    'with pattern ms': medianMs(() => planFactor(count, pairs)),
    'factor ms': medianMs(() => factorize(given, plan)),
    'column ms': medianMs(() => {
      column.fill(0);
      column[count >> 1] = 1;
      solveInPlace(factor, column);
    }),
    fill: factor.rows.length,
    'network kB': heapBytes(() => new Network(nets, branches), Math.ceil(20_000 / nets)) / 1e3,
  };
}

/** The nodal matrix as `Network` makes it: the busiest node of each island is its zero. */
function conductancesOf(nets, branches) {
  const { island, islandCount } = new Network(nets, branches);
  const degree = new Int32Array(nets);
  for (const { a, b } of branches) for (const node of [a, b]) degree[node]++;
  const zero = new Int32Array(islandCount).fill(-1);
  island.forEach((at, node) => {
    if (zero[at] < 0 || degree[node] > degree[zero[at]]) zero[at] = node;
  });
  let count = 0;
  const row = Int32Array.from(island, (at, node) => (zero[at] === node ? -1 : count++));
  const toZero = new Float64Array(count);
  const joined = new Map();
  for (const { a, b, ohms } of branches) {
    const [low, high] = [Math.min(row[a], row[b]), Math.max(row[a], row[b])];
    if (low < 0 && high >= 0) toZero[high] += 1 / ohms;
    if (low < 0 || low === high) continue;
    const key = low * count + high;
    joined.set(key, (joined.get(key) ?? 0) + 1 / ohms);
  }
  const pairs = [...joined.keys()].flatMap((key) => [Math.floor(key / count), key % count]);
  return { count, toZero, pairs, siemens: [...joined.values()] };
}

/** Slope of a least-squares line through the logarithms; below 1,000 nets it would fit the overhead. */
function slopeOf(rows, across, up) {
  const points = rows.filter(({ nets }) => nets >= 1000);
  const x = points.map((row) => Math.log(row[across]));
  const y = points.map((row) => Math.log(row[up]));
  const mean = (list) => list.reduce((a, b) => a + b, 0) / list.length;
  const [mx, my] = [mean(x), mean(y)];
  const sum = (f) => x.reduce((total, _, k) => total + f(x[k] - mx, y[k] - my), 0);
  return sum((dx, dy) => dx * dy) / sum((dx) => dx * dx);
}

/** Each opening in a process of its own, as a command meets it. */
function printOpening(nets) {
  const file = fileURLToPath(new URL('./circuit-opening.mjs', import.meta.url));
  const runs = Array.from({ length: OPENINGS }, () => {
    const { stdout } = spawnSync(process.execPath, [file, nets, SEED], { encoding: 'utf8' });
    return JSON.parse(stdout);
  });
  const stages = Object.keys(runs[0]);
  const rows = stages.map((stage) => [stage, short(median(runs.map((run) => run[stage])))]);
  console.log(`\nopening a board of ${nets} nets: median of ${OPENINGS} processes`);
  console.log(tableText([['stage', 'ms'], ...rows]));
}
