// npm run bench -- big-board [STEPS]: opening, recording a reading and choosing the next step on large
// boards, as multiples of one factorisation and of a bare Node start, all in one run; and memory. Times
// are of the processor, garbage collection and helper threads included, and of the main thread, which is
// what one waits for: others on the machine do not count. Each job has a process of its own, so that a
// board is opened by code that runs for the first time, and a capacitor that is shorted; jobs end after
// STEPS steps, and all but one with the first advice.

import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { loadBoard } from '../../dist/board/load.js';
import { Network } from '../../dist/circuit/network.js';
import { AS_FOUND } from '../../dist/circuit/state.js';
import { realBoard } from './boards.mjs';
import { randomBoardYaml } from './circuit-board.mjs';
import { between, openBoard, playJob, timeNow } from './play.mjs';
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
  const start = timeNow();
  const result = call();
  return { result, ms: between(start, timeNow()) };
}

function measure(yaml, mostSteps) {
  const { result, ms: opening } = timed(() => {
    const { board } = loadBoard(yaml, 'board');
    return { board, workbench: openBoard(board) };
  });
  const { board, workbench } = result;
  const steps = [];
  const factors = [];
  const job = { seed: 1, faults: 1, these: [shortedPart(board)], mostSteps };
  playJob(workbench, {
    ...job,
    took: (times) => {
      steps.push(times);
      if (mostSteps > 1) factors.push(factorMs(workbench.bench.circuit));
    },
  });
  const memory = process.memoryUsage().rss / 1e6;
  return { nets: board.nets.length, parts: board.parts.length, opening, factors, steps, memory };
}

function factorMs(circuit) {
  const { branches } = circuit.view(AS_FOUND).network;
  return timed(() => new Network(circuit.board.nets.length, branches)).ms.processor;
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
    ['board', 'what', 'times', 'processor ms', '95 %', 'most', 'waited ms', '95 %', 'most'].concat([
      'factorisations',
      'Node starts',
    ]),
  ];
  for (const board of Object.keys(BOARDS)) {
    if (BOARDS[board]() === undefined) continue;
    const { nets, parts, opening, factors, steps, memory } = inProcess(board, first);
    const starting = Array.from({ length: OPENINGS - 1 }, () => inProcess(board, '1'));
    const factor = at(factors, 0.5);
    console.log(
      `${board}: ${nets} nets, ${parts} parts, one factorisation ${factor.toFixed(2)} ms, ${memory.toFixed(0)} MB`,
    );
    const line = (what, times) => {
      if (times.length === 0) return;
      const processor = times.map((time) => time.processor);
      const twice = (unit) =>
        [0.5, 0.95].map((share) => (at(processor, share) / unit).toFixed(1)).join(', ');
      const waited = times.map((time) => time.waited);
      const cells = [processor, waited].flatMap((all) => [at(all, 0.5), at(all, 0.95), at(all, 1)]);
      const ms = cells.map((one) => one.toFixed(one < 10 ? 1 : 0));
      lines.push([board, what, String(times.length), ...ms, twice(factor), twice(node)]);
    };
    line('opening', [opening, ...starting.map((one) => one.opening)]);
    line('first advice', [steps[0], ...starting.map((one) => one.steps[0])].map(wholeOf));
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

function inProcess(board, steps) {
  const { stdout } = spawnSync(process.execPath, [HERE, steps, board], {
    encoding: 'utf8',
    maxBuffer: 1e8,
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  return JSON.parse(stdout);
}

const AFTER = [
  ['quiet', 'a silence'],
  ['joined', 'a beep or ohms'],
  ['change', 'a lift or another change'],
];

function wholeOf({ weighing, choosing }) {
  return {
    processor: weighing.processor + choosing.processor,
    waited: weighing.waited + choosing.waited,
  };
}

function at(times, share) {
  const sorted = times.toSorted((x, y) => x - y);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
}

if (name === undefined) runAll();
else console.log(JSON.stringify(measure(BOARDS[name](), Number(first))));
