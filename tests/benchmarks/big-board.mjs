// npm run bench -- big-board [NETS]: milliseconds of the first advice on a random board, and of the
// steps after quiet readings and after a beep, as multiples of one factorisation too.

import { loadBoard } from '../../dist/board/load.js';
import { Circuit } from '../../dist/circuit/circuit.js';
import { Network } from '../../dist/circuit/network.js';
import { AS_FOUND } from '../../dist/circuit/state.js';
import { NO_EVIDENCE } from '../../dist/faults/evidence.js';
import { advise, analyse, openWorkbench } from '../../dist/steps/advise.js';
import { randomBoardYaml } from './circuit-board.mjs';
import { withReading } from './optimum-case.mjs';

/** What the readings show, one after the other. */
const VALUES = ['quiet', 'quiet', 'quiet', 'beep', 'quiet', 'beep', 'quiet'];

const [nets = 20_000] = process.argv.slice(2).map(Number);

function timed(call) {
  const start = performance.now();
  const result = call();
  return { result, ms: performance.now() - start };
}

const { result: loaded, ms: loading } = timed(() => loadBoard(randomBoardYaml(nets, 1), 'random'));
const { board } = loaded;
const { branches } = new Circuit(board).view(AS_FOUND).network;
const factors = Array.from({ length: 5 }, () => timed(() => new Network(nets, branches)).ms);
const factor = factors.sort((x, y) => x - y)[2];
const { result: workbench, ms: opening } = timed(() => openWorkbench(board));
console.log(
  `${nets} nets, ${board.parts.length} parts: read in ${loading.toFixed(0)} ms, opened in ${opening.toFixed(0)}`,
);
console.log(`one ordering and factorisation ${factor.toFixed(1)} ms`);
let evidence = NO_EVIDENCE;
let after = 'nothing read';
for (const kind of VALUES) {
  const { result, ms } = timed(() => {
    const analysis = analyse(workbench, evidence);
    return { analysis, step: advise(analysis).step };
  });
  const { leftOut } = result.analysis.beliefs;
  const times = (ms / factor).toFixed(0);
  console.log(
    `after ${after}: ${ms.toFixed(0)} ms, ${times} factorisations, left out ${leftOut.toFixed(2)}`,
  );
  if (result.step.kind !== 'read') break;
  evidence = withReading(evidence, { ...result.step.probe, mode: 'continuity' }, { kind });
  after = `a ${kind === 'quiet' ? 'silence' : kind}`;
}
console.log(`memory ${(process.memoryUsage().rss / 1e6).toFixed(0)} MB`);
