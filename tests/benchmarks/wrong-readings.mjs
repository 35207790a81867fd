// npm run bench -- wrong-readings [CASES] [OTHER] [BOARDS]: what is made of two to six wrong readings among
// 40 to 120. OTHER is the root of another build, to compare with.

import { pathToFileURL } from 'node:url';
import { SimulatedBench } from '../../dist/bench/simulated-bench.js';
import { AS_FOUND, withOff } from '../../dist/circuit/state.js';
import { NO_EVIDENCE } from '../../dist/faults/evidence.js';
import { jobBoards } from './boards.mjs';
import { dice } from './dice.mjs';
import { inColumns } from './tables.mjs';
import { drawReadings, takesIn, truthOf } from './wrong-case.mjs';

const WRONG = [2, 3, 4, 5, 6];

const [cases = '6', other = '', names = ''] = process.argv.slice(2);
const engines = [await engineAt(new URL('../../', import.meta.url), 'this')];
if (other !== '') engines.unshift(await engineAt(pathToFileURL(`${other}/`), 'other'));
const { Chances, foresee } = {
  ...(await import('../../dist/faults/chances.js')),
  ...(await import('../../dist/faults/standing.js')),
};
const rows = [];
for (const { name, board } of jobBoards()) {
  if (names !== '' && !names.split(',').includes(name)) continue;
  const benches = engines.map(({ openWorkbench }) => openWorkbench(board));
  for (const wrong of WRONG) {
    for (let seed = 0; seed < Number(cases); seed++) weighOne(name, benches, wrong, seed);
  }
  report(
    name,
    rows.filter((row) => row.name === name),
  );
}
report('all boards', rows);

async function engineAt(root, label) {
  const from = (file) => import(new URL(`dist/${file}`, root));
  const { openWorkbench } = await from('steps/advise.js');
  return { label, openWorkbench, ...(await from('faults/diagnose.js')) };
}

function weighOne(name, benches, wrong, seed) {
  const {
    board,
    bench: { meter },
  } = benches[0];
  const next = dice(1000 * wrong + seed);
  const faults = 1 + Math.floor(3 * next());
  const bench = new SimulatedBench(board, {
    seed: 1000 * wrong + seed,
    faults,
    meter,
    isFaithful: true,
  });
  const count = 40 + Math.floor(80 * next());
  const drawn = drawReadings(board, { bench, next, count, wrong, start: AS_FOUND, withOff });
  const evidence = { ...NO_EVIDENCE, readings: drawn.readings, state: drawn.state };
  let truth;
  engines.forEach(({ label, weigh, diagnosisOf }, k) => {
    const start = process.cpuUsage().user;
    const beliefs = weigh(benches[k].bench, evidence);
    const ms = (process.cpuUsage().user - start) / 1000;
    truth ??= truthOf(beliefs.problem, bench.faults, { Chances, foresee });
    if (truth === undefined) return;
    const { suspects, wrongSets, doubtful } = diagnosisOf(benches[k].bench, evidence, beliefs);
    const { explanations, leftOut, expanded } = beliefs;
    const sum = (some, of) => some.reduce((so, one) => so + of(one), 0);
    const heaviest = Math.max(...explanations.map(({ mass }) => mass));
    rows.push({
      name,
      label,
      wrong,
      seed,
      ms,
      leftOut,
      work: expanded,
      heaviest,
      truth: truth.mass,
      found: sum(
        explanations.filter((one) => takesIn(one, truth.ids)),
        (one) => one.weight,
      ),
      said: suspects[0]?.weight ?? 0,
      isRight: suspects[0] !== undefined && bench.faultyParts.has(suspects[0].part),
      named: drawn.turned.filter((id) => doubtful.some((one) => one.id === id)).length / wrong,
      isSet: (wrongSets[0]?.readings ?? []).join() === drawn.turned.join(),
    });
  });
}

function report(title, some) {
  const head = [
    'engine',
    'wrong',
    'cases',
    'below truth',
    'far below',
    'weight of truth',
    'left out',
    'work',
    'ms',
  ];
  const line = (label, wrong) => {
    const own = some.filter(
      (row) => row.label === label && (wrong === 'all' || row.wrong === wrong),
    );
    const mean = (of) => own.reduce((so, row) => so + of(row), 0) / own.length;
    const share = (of) => `${(100 * mean((row) => (of(row) ? 1 : 0))).toFixed(0)} %`;
    return [
      label,
      String(wrong),
      String(own.length),
      share((row) => row.heaviest < row.truth),
      share((row) => row.heaviest < row.truth / 10),
      mean((row) => row.found).toFixed(3),
      mean((row) => row.leftOut).toFixed(3),
      mean((row) => row.work).toFixed(0),
      mean((row) => row.ms).toFixed(0),
      mean((row) => row.said).toFixed(3),
      share((row) => row.isRight),
      share((row) => row.said > 0.9),
      share((row) => row.said > 0.9 && row.isRight),
      mean((row) => row.named).toFixed(2),
      share((row) => row.isSet),
    ];
  };
  head.push(
    'heaviest said',
    'is faulty',
    'said > 0.9',
    'and is',
    'wrong ones named',
    'just them first',
  );
  const lines = engines.flatMap(({ label }) =>
    [...WRONG, 'all'].map((wrong) => line(label, wrong)),
  );
  console.log(`\n${title}`);
  console.log(inColumns([head, ...lines]));
}
