// npm run bench -- big-board [STEPS]: opening, recording a reading and choosing the next step on large
// boards, as multiples of one factorisation and of a bare Node start, all in one run; and memory. Times
// are of the processor, garbage collection and helper threads included: others on the machine do not count.
// Each board has a process of its own and a capacitor that is shorted; jobs end after STEPS steps.

import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { loadBoard } from '../../dist/board/load.js';
import { Circuit } from '../../dist/circuit/circuit.js';
import { Network } from '../../dist/circuit/network.js';
import { AS_FOUND } from '../../dist/circuit/state.js';
import { realBoard } from './boards.mjs';
import { randomBoardYaml } from './circuit-board.mjs';
import { openBoard, playJob, processorMs } from './play.mjs';
import { inColumns } from './tables.mjs';

const HERE = fileURLToPath(import.meta.url);
const ROUNDS = 9;
const OPENINGS = 3;

/** A rail behind a fuse with so many capacitors alike. */
function railYaml(count) {
  const capacitors = Array.from(
    { length: count },
    (_, k) => `  C${k}: {kind: electrolytic, farads: 100u, pins: {plus: P48, minus: GND}}`,
  );
  const others = [
    '  J1: {kind: connector, pins: [IN, GND]}',
    '  F1: {kind: fuse, pins: [IN, P48]}',
    '  R1: {kind: resistor, ohms: 10k, pins: [P48, LED]}',
    '  D1: {kind: diode, pins: {A: LED, K: GND}}',
  ];
  const head = ['board: Rail', 'rails: {bus: {plus: P48, minus: GND, volts: 48}}', 'parts:'];
  return `${[...head, ...others, ...capacitors].join('\n')}\n`;
}

/** By name: the text of a board file, undefined where a real board is not there. */
const BOARDS = {
  'random-10000-parts': () => randomBoardYaml(6850, 1),
  'random-20000-nets': () => randomBoardYaml(20_000, 1),
  'minnow-v1': () => realBoard('minnow-v1')?.yaml,
  duet2: () => realBoard('duet2')?.yaml,
  'rail-of-20': () => railYaml(20),
  'rail-of-500': () => railYaml(500),
};

const [first = '40', name] = process.argv.slice(2);

function timed(call) {
  const start = processorMs();
  const result = call();
  return { result, ms: processorMs() - start };
}

function measure(yaml, mostSteps) {
  const openings = [];
  let loaded;
  for (let k = 0; k < OPENINGS; k++) {
    const { result, ms } = timed(() => {
      const { board } = loadBoard(yaml, 'board');
      return { board, workbench: openBoard(board) };
    });
    loaded = result;
    openings.push(ms);
  }
  const { board, workbench } = loaded;
  const { branches } = new Circuit(board).view(AS_FOUND).network;
  const one = () => timed(() => new Network(board.nets.length, branches)).ms;
  const factors = Array.from({ length: ROUNDS }, one);
  const steps = [];
  const job = { seed: 1, faults: 1, these: [shortedPart(board)], mostSteps };
  playJob(workbench, { ...job, took: (times) => steps.push({ ...times, factor: one() }) });
  const memory = process.memoryUsage().rss / 1e6;
  const size = { nets: board.nets.length, parts: board.parts.length };
  return { ...size, openings, factors, steps, memory };
}

/** The last capacitor across a rail: as far back in the file as it may be. */
function shortedPart(board) {
  const rails = board.rails.map(({ plus, minus }) => `${plus} ${minus}`);
  const part = board.parts.findLast(({ kind, pins }) => {
    const nets = pins.map((pin) => board.pins[pin].net);
    const isAcross = rails.includes(nets.join(' ')) || rails.includes(nets.toReversed().join(' '));
    return isAcross && kind.modes.some((mode) => mode.name === 'short');
  });
  return { part: part.name, mode: 'short' };
}

function runAll() {
  const tells = 'const { user, system } = process.cpuUsage(); console.log((user + system) / 1000)';
  const starts = Array.from({ length: ROUNDS }, () =>
    Number(spawnSync(process.execPath, ['-e', tells], { encoding: 'utf8' }).stdout),
  );
  const node = at(starts, 0.5);
  console.log(`bare Node start ${node.toFixed(0)} ms; at most ${first} steps of each job`);
  const lines = [
    ['board', 'what', 'times', 'median ms', '95 % ms', 'most ms', 'factorisations', 'Node starts'],
  ];
  for (const board of Object.keys(BOARDS)) {
    if (BOARDS[board]() === undefined) continue;
    const { stdout } = spawnSync(process.execPath, [HERE, first, board], {
      encoding: 'utf8',
      maxBuffer: 1e8,
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    const { nets, parts, openings, factors, steps, memory } = JSON.parse(stdout);
    const factor = at([...factors, ...steps.map((step) => step.factor)], 0.5);
    console.log(
      `${board}: ${nets} nets, ${parts} parts, one factorisation ${factor.toFixed(2)} ms, ${memory.toFixed(0)} MB`,
    );
    const line = (what, times) => {
      if (times.length === 0) return;
      const [half, most] = [at(times, 0.5), at(times, 0.95)];
      const twice = (unit) => `${(half / unit).toFixed(1)}, ${(most / unit).toFixed(1)}`;
      const worst = Math.max(...times);
      const cells = [half, most, worst]
        .map((ms) => ms.toFixed(1))
        .concat(twice(factor), twice(node));
      lines.push([board, what, String(times.length), ...cells]);
    };
    line('opening', openings);
    line('first advice', steps.slice(0, 1).map(wholeOf));
    for (const [after, what] of AFTER) {
      const some = steps.slice(1).filter((step) => step.after === after);
      line(
        `recording ${what}`,
        some.map(({ weighing }) => weighing),
      );
      line(
        `choosing after ${what}`,
        some.map(({ choosing }) => choosing),
      );
    }
    line('any later step', steps.slice(1).map(wholeOf));
  }
  console.log(inColumns(lines));
}

const AFTER = [
  ['quiet', 'a silence'],
  ['joined', 'a beep or ohms'],
  ['change', 'a lift or another change'],
];

function wholeOf({ weighing, choosing }) {
  return weighing + choosing;
}

function at(times, share) {
  const sorted = times.toSorted((x, y) => x - y);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
}

if (name === undefined) runAll();
else console.log(JSON.stringify(measure(BOARDS[name](), Number(first))));
