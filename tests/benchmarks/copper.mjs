// npm run bench -- copper [TRIALS] [ROWS] [SIZES] [WAYS] [SCENARIOS] [SLIPS]: one shorted part among many
// on a rail, found along copper that the engine knows nothing of (copper-draw.mjs, copper-case.mjs).
// TRIALS may be FROM-TO, seeds. ROWS keeps each trial, so that a stopped run goes on; `-` keeps none.
// WAYS: `tool`, `spread` and `random` choose the pads of 16 readings, and nothing is touched; `job:RULE`
// plays the whole job. `copper speed` times the next reading.

import { isMainThread, parentPort, workerData } from 'node:worker_threads';
import { SCENARIOS } from './copper-case.mjs';
import { COUNTS, standing, wholeJob } from './copper-play.mjs';
import { measureCopperSpeed } from './copper-speed.mjs';
import { claimBins, copperJobTable, minuteShares, placeTable } from './copper-tables.mjs';
import { heldRows, playShares } from './shares.mjs';
import { binTable, inColumns } from './tables.mjs';

/** On a rail of parts alike `job:pulling` does what `job:likely` does, so it is left out. */
const WAYS = ['tool', 'spread', 'job:tool', 'job:plain tool', 'job:likely', 'job:halving'];
const BLOCK = 20;

/** Half of the placements are real; half of each say in the board file what the copper is like. */
function kindOf(seed) {
  return { placement: seed % 2 === 0 ? 'real' : 'random', told: Math.floor(seed / 2) % 2 === 1 };
}

function playShare({ first, trials, sizes, ways, scenarios, slipRatio, share, shares, held }) {
  for (let from = first; from < trials; from += BLOCK) {
    for (const scenario of scenarios) {
      for (const size of sizes) {
        for (const way of ways) {
          for (let seed = from + share; seed < Math.min(from + BLOCK, trials); seed += shares) {
            const row = { scenario, size, way, seed };
            if (!held.has(keyOf(row))) parentPort.postMessage({ ...row, ...play(row, slipRatio) });
          }
        }
      }
    }
  }
}

function play({ way, ...which }, slipRatio) {
  const options = { ...which, slipRatio, ...kindOf(which.seed) };
  const { told } = options;
  const shorts = SCENARIOS[which.scenario].shorts ?? 1;
  if (!way.startsWith('job:')) {
    return { told, shorts, chooser: way, ...standing({ ...options, chooser: way }) };
  }
  const rule = way.slice('job:'.length);
  return { told, shorts, rule, ...wholeJob({ ...options, rule }) };
}

function keyOf({ scenario, size, way, seed }) {
  return [scenario, size, way, seed].join('/');
}

function print(rows) {
  const places = rows.filter(({ chooser }) => chooser !== undefined);
  if (places.length > 0) {
    console.log(inColumns(placeTable(places, COUNTS)));
    for (const [title, own] of [
      ['copper told in the board file', places.filter(({ told }) => told)],
      ['copper not told', places.filter(({ told }) => !told)],
    ]) {
      if (own.length > 0) console.log(`\n${title}\n${inColumns(placeTable(own, [4, 8]))}`);
    }
    const bins = claimBins(places, COUNTS);
    console.log(`\nweights said of the first five suspects\n${inColumns(binTable(bins))}`);
  }
  const jobs = rows.filter(({ rule }) => rule !== undefined);
  if (jobs.length === 0) return;
  console.log(`\n${inColumns(copperJobTable(jobs))}`);
  for (const { scenario, size, best, share } of minuteShares(jobs)) {
    console.log(`${scenario}, ${size} parts: ${share.toFixed(2)} of the minutes of ${best}`);
  }
}

if (isMainThread && process.argv[2] === 'speed') measureCopperSpeed();
else if (isMainThread) {
  const words = process.argv.slice(2);
  const [
    trials = '40',
    kept = '-',
    sizes = '20,60,200',
    ways = WAYS.join(','),
    named,
    slips = '0',
  ] = words;
  const file = kept === '-' ? undefined : kept;
  const scenarios = named?.split(',') ?? Object.keys(SCENARIOS);
  const [from, to] = trials.includes('-') ? trials.split('-').map(Number) : [0, trials - 1];
  const settings = {
    first: from,
    trials: to + 1,
    sizes: sizes.split(',').map(Number),
    ways: ways.split(','),
    scenarios,
    slipRatio: Number(slips),
  };
  const belongs = ({ seed, size, way, scenario }) =>
    seed >= from &&
    seed <= to &&
    settings.sizes.includes(size) &&
    settings.ways.includes(way) &&
    scenarios.includes(scenario);
  const earlier = heldRows(file, belongs);
  const held = new Set(earlier.map(keyOf));
  const rows = await playShares(
    new URL(import.meta.url),
    { ...settings, held },
    { held: earlier, file },
  );
  const order = (list, value) => list.indexOf(value);
  rows.sort(
    (x, y) =>
      order(scenarios, x.scenario) - order(scenarios, y.scenario) ||
      x.size - y.size ||
      order(settings.ways, x.way) - order(settings.ways, y.way) ||
      x.seed - y.seed,
  );
  console.log(`copper: seeds ${from} to ${to}, wrong readings ${slips}`);
  print(rows);
} else playShare(workerData);
