// How long the next reading along copper takes on rails of 20 to 500 parts: processor time, multiples of
// a bare Node start in the same run, and how it grows.

import { spawnSync } from 'node:child_process';
import { NO_EVIDENCE } from '../../dist/faults/evidence.js';
import { advise, analyse } from '../../dist/index.js';
import { median, short } from './circuit-show.mjs';
import { MILLIOHM_METER } from './copper-meter.mjs';
import { openCase, padsOf, toolReading, withReading } from './copper-play.mjs';
import { dice } from './dice.mjs';
import { inColumns } from './tables.mjs';

const SIZES = [20, 60, 100, 200, 500];
const READINGS = 8;

export function measureCopperSpeed() {
  stepsOf(20, true); // warm
  const node = median(Array.from({ length: 9 }, nodeStart));
  console.log(
    `copper speed: processor time, medians of ${READINGS} readings; Node starts in ${short(node)} ms`,
  );
  for (const told of [true, false]) showSizes(node, told);
}

function showSizes(node, told) {
  const found = SIZES.map((size) => ({ size, ...stepsOf(size, told) }));
  const head = [
    'parts',
    'weighing ms',
    'choosing ms',
    'both, worst',
    'both / Node start',
    'waited ms',
    'waited, worst',
    'opening ms',
  ];
  const lines = found.map(({ size, weighing, choosing, waited, opening }) => {
    const both = weighing.map((ms, k) => ms + choosing[k]);
    const figures = [
      median(weighing),
      median(choosing),
      Math.max(...both),
      median(both) / node,
      median(waited),
      Math.max(...waited),
      opening,
    ];
    return [String(size), ...figures.map(short)];
  });
  console.log(`\nboard file that ${told ? 'tells' : 'does not tell'} traces from planes`);
  console.log(inColumns([head, ...lines]));
  const whole = found.map(({ size, weighing, choosing }) => [
    size,
    median(weighing.map((ms, k) => ms + choosing[k])),
  ]);
  console.log(`a next reading grows as parts^${exponentOf(whole).toFixed(2)}`);
}

/** Milliseconds of processor time of a bare Node: what it took by its own account. */
function nodeStart() {
  const code = 'const {user,system}=process.cpuUsage();console.log(user+system)';
  const { stdout } = spawnSync(process.execPath, ['-e', code], { encoding: 'utf8' });
  return Number(stdout) / 1000;
}

/** Processor time counts what V8 does beside the work; on a machine at rest, waiting tells more. */
function spent(call) {
  const before = process.cpuUsage();
  const start = performance.now();
  const result = call();
  const waited = performance.now() - start;
  const { user, system } = process.cpuUsage(before);
  return { result, ms: (user + system) / 1000, waited };
}

function stepsOf(size, told) {
  const options = { scenario: 'tree', size, seed: 1, placement: 'random', told };
  const { result: job, ms: opening } = spent(() => openCase(options, { meter: MILLIOHM_METER }));
  const fallback = padsOf(job, 'spread', dice(size));
  let evidence = withReading(NO_EVIDENCE, { mode: 'continuity', ...job.rail }, job.bench);
  const [weighing, choosing, waited] = [[], [], []];
  for (let k = 0; k < READINGS; k++) {
    const weighed = spent(() => analyse(job.workbench, evidence));
    const chosen = spent(() => advise(weighed.result));
    weighing.push(weighed.ms);
    choosing.push(chosen.ms);
    waited.push(weighed.waited + chosen.waited);
    const probe = toolReading(weighed.result, chosen.result) ?? fallback();
    evidence = withReading(evidence, probe, job.bench);
  }
  return { weighing, choosing, waited, opening };
}

/** Slope of ln ms over ln parts. */
function exponentOf(points) {
  const logs = points.map((pair) => pair.map(Math.log));
  const [meanX, meanY] = [0, 1].map(
    (k) => logs.reduce((sum, pair) => sum + pair[k], 0) / logs.length,
  );
  const over = logs.reduce((sum, [x, y]) => sum + (x - meanX) * (y - meanY), 0);
  return over / logs.reduce((sum, [x]) => sum + (x - meanX) ** 2, 0);
}
