// npm run bench -- calibration [JOBS] [STEPS] [ROWS]: whether what carries weight p has failed p of the
// time. Faults are drawn from the chances before any reading, by code of its own; readings are spread
// as the meter states and 1 % of them are turned round. ROWS keeps each job; a stopped run goes on.

import { isMainThread, parentPort, workerData } from 'node:worker_threads';
import { jobBoards } from './boards.mjs';
import { dice } from './dice.mjs';
import { openBoard, playJob } from './play.mjs';
import { heldRows, playShares } from './shares.mjs';
import { BINS, binTable, calibrationBins, emptyBins, inColumns } from './tables.mjs';

/** The engine takes 2 % of readings for slips, half of which tell the truth. */
const TURNED_RATIO = 0.01;

/** Faults as the chances have them: each mode by itself, and banks of which several fail at once. */
function drawFaults({ board, bench: { circuit, priors, settings } }, next) {
  const together = new Map();
  for (const { parts, chance } of priors.banks) {
    if (next() < chance) for (const part of parts) together.set(part, true);
  }
  return circuit.models.flatMap(({ part, modes }) => {
    const shorts = modes.map((mode) => (mode.joins.length > 0 ? mode.share : 0));
    const sum = shorts.reduce((a, b) => a + b, 0);
    const inSet = together.has(part) && sum > 0;
    const chances = modes.map((_, k) =>
      inSet ? (settings.bankMemberChance * shorts[k]) / sum : priors.modes[part][k],
    );
    let left = next();
    const k = chances.findIndex((chance) => {
      left -= chance;
      return left < 0;
    });
    return k < 0 ? [] : [{ part: board.parts[part].name, mode: modes[k].name }];
  });
}

function playOne({ name, workbench }, seed, mostSteps) {
  const next = dice(seed);
  const these = drawFaults(workbench, next);
  const all = emptyBins();
  const heaviest = emptyBins();
  const watch = ({ diagnosis, evidence }, { phase }, bench) => {
    if (phase !== 'isolate' && phase !== 'repair') return;
    const isFaulty = (part) =>
      bench.faultyParts.has(part) && (evidence.state.piece.get(part) ?? 0) === 0;
    diagnosis.suspects.forEach(({ part, weight }, k) => {
      take(all, weight, isFaulty(part));
      if (k === 0) take(heaviest, weight, isFaulty(part));
    });
  };
  const options = { seed, slipRatio: TURNED_RATIO, these, isFaithful: true, watch, mostSteps };
  const { clear, steps } = playJob(workbench, options);
  return { board: name, seed, faults: these.length, clear, steps, all, heaviest };
}

function take(bins, weight, isTrue) {
  const bin = bins[Math.min(BINS - 1, Math.floor(weight * BINS))];
  bin[0] += 1;
  bin[1] += weight;
  bin[2] += isTrue ? 1 : 0;
}

function playShare({ jobs, mostSteps, share, shares, held }) {
  const benches = jobBoards().map(({ name, board }) => ({ name, workbench: openBoard(board) }));
  const each = Math.ceil(jobs / benches.length);
  for (let seed = share; seed < each; seed += shares) {
    for (const bench of benches) {
      if (!held.has(keyOf({ board: bench.name, seed }))) {
        parentPort.postMessage(playOne(bench, seed, mostSteps));
      }
    }
  }
}

function keyOf({ board, seed }) {
  return `${board}/${seed}`;
}

function report(title, rows, series) {
  const { bins, count, error } = calibrationBins(rows, series);
  console.log(`\n${title}: ${count} weights said in ${rows.length} jobs`);
  console.log(inColumns(binTable(bins)));
  console.log(`expected calibration error ${error.toFixed(4)}`);
}

if (isMainThread) {
  const [jobs = '3000', steps = '400', file] = process.argv.slice(2);
  const earlier = heldRows(file, ({ seed }) => seed < Math.ceil(Number(jobs) / 6));
  const held = new Set(earlier.map(keyOf));
  const settings = { jobs: Number(jobs), mostSteps: Number(steps), held };
  const rows = await playShares(new URL(import.meta.url), settings, { held: earlier, file });
  for (const { name } of jobBoards()) {
    report(
      `${name}, every suspect`,
      rows.filter(({ board }) => board === name),
      'all',
    );
  }
  report('all boards, the heaviest suspect', rows, 'heaviest');
  report('all boards, every suspect', rows, 'all');
} else playShare(workerData);
