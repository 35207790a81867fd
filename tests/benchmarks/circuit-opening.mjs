// One opening of a random board, for the circuit benchmark: node circuit-opening.mjs NETS SEED prints
// milliseconds by stage, and the heap afterwards, as JSON.

import { loadBoard } from '../../dist/board/load.js';
import { readDocument } from '../../dist/board/read-yaml.js';
import { SourceText } from '../../dist/board/source-text.js';
import { Circuit } from '../../dist/circuit/circuit.js';
import { Network } from '../../dist/circuit/network.js';
import { voltsAt } from '../../dist/circuit/sight.js';
import { AS_FOUND } from '../../dist/circuit/state.js';
import { randomBoardYaml } from './circuit-board.mjs';
import { heapBytes } from './circuit-show.mjs';

const [nets = 1000, seed = 1] = process.argv.slice(2).map(Number);
const yaml = randomBoardYaml(nets, seed);
const times = {};

function timed(stage, call) {
  const start = performance.now();
  const result = call();
  times[stage] = performance.now() - start;
  return result;
}

timed('reading the YAML', () => readDocument(new SourceText(yaml, 'random')));
const { board } = timed('checks', () => loadBoard(yaml, 'random'));
// The checks start from the text again; the code is warm the second time, so this errs high.
times.checks = Math.max(0, times.checks - times['reading the YAML']);
const circuit = timed('models of the parts', () => new Circuit(board));
const view = timed('elements in circuit', () => circuit.view(AS_FOUND));
// The view has ordered and factored already.
const { branches } = view.network;
timed('of that, order and factor', () => new Network(board.nets.length, branches));
timed('junctions in circuit', () => view.lit());
const { plus, minus } = board.rails[0];
const sight = { view, added: [], red: plus, black: minus };
timed('first reading', () => voltsAt(sight, 1e-3, 2));
timed('a second reading', () => voltsAt({ ...sight, black: board.rails[1].plus }, 1e-3, 2));
times['all, ms'] = Object.entries(times).reduce(
  (sum, [stage, ms]) => (stage.startsWith('of that') ? sum : sum + ms),
  0,
);
times['heap of it, MB'] =
  heapBytes(() => new Circuit(loadBoard(yaml, 'random').board).view(AS_FOUND)) / 1e6;
console.log(JSON.stringify(times));
