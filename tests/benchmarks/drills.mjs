// npm run bench -- drills [SEEDS] [RULES] [SLIPS] [ROWS]: jobs played to the end on simulated boards,
// 1 to 3 hidden faults, by the tool and by two simple rules. ROWS is a file that takes each job as it
// ends; a run that was stopped goes on from there.

import { appendFileSync, existsSync, readFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import { realBoards, shippedBoards } from './boards.mjs';
import { openBoard, playJob } from './play.mjs';

const RULES = ['tool', 'likely', 'halving'];
const BLOCK = 20;

function boards() {
  return [...shippedBoards(), ...realBoards(['libresolar-mppt', 'dcdc-rtc', 'vesc-bldc4'])];
}

function playShare({ seeds, rules, slipRatio, share, shares, held }) {
  const benches = boards().map(({ name, board }) => ({ name, workbench: openBoard(board) }));
  // In blocks of seeds, so that a run stopped early has the same seeds of every rule and board.
  for (let from = 0; from < seeds; from += BLOCK) {
    for (const rule of rules) {
      for (const { name, workbench } of benches) {
        for (let seed = from + share; seed < Math.min(from + BLOCK, seeds); seed += shares) {
          if (held.has(keyOf({ board: name, rule, seed }))) continue;
          const result = playJob(workbench, { seed, faults: 1 + (seed % 3), slipRatio, rule });
          parentPort.postMessage({ board: name, rule, seed, ...result });
        }
      }
    }
  }
}

function keyOf({ board, rule, seed }) {
  return `${board}/${rule}/${seed}`;
}

function table(rows) {
  const head = [
    'board',
    'rule',
    'jobs',
    'clear',
    'all found',
    'minutes',
    'readings',
    'lifts',
    'pulls',
    'healthy pulled',
    '…outside banks',
    'slowest step ms',
  ];
  const lines = [head];
  const groups = new Map();
  for (const row of rows) {
    const key = `${row.board}/${row.rule}`;
    groups.set(key, [...(groups.get(key) ?? []), row]);
  }
  for (const group of groups.values()) {
    const mean = (of) => (group.reduce((sum, row) => sum + of(row), 0) / group.length).toFixed(1);
    lines.push([
      group[0].board,
      group[0].rule,
      String(group.length),
      String(group.filter((row) => row.clear).length),
      `${((100 * group.filter((row) => row.missed === 0).length) / group.length).toFixed(1)} %`,
      mean((row) => row.minutes),
      mean((row) => row.readings),
      mean((row) => row.lifts),
      mean((row) => row.pulls),
      mean((row) => row.healthyPulled),
      mean((row) => row.healthyOutsideBanks),
      Math.max(...group.map((row) => row.slowestMs)).toFixed(0),
    ]);
  }
  const widths = head.map((_, k) => Math.max(...lines.map((line) => line[k].length)));
  return lines.map((line) => line.map((cell, k) => cell.padEnd(widths[k])).join('  ')).join('\n');
}

/** What an earlier run left in the file, as far as it belongs to this one. */
function heldRows(file, seeds, rules) {
  if (file === undefined || !existsSync(file)) return [];
  const lines = readFileSync(file, 'utf8').split('\n');
  const rows = lines.filter((line) => line.endsWith('}')).map((line) => JSON.parse(line));
  return rows.filter((row) => row.seed < seeds && rules.includes(row.rule));
}

function playAll(settings, take) {
  const shares = Math.max(1, cpus().length);
  const workers = Array.from({ length: shares }, (_, share) => {
    const worker = new Worker(new URL(import.meta.url), {
      workerData: { ...settings, share, shares },
      resourceLimits: { maxYoungGenerationSizeMb: 192 }, // a job makes much that is soon gone
    });
    worker.on('message', take);
    return new Promise((resolve, reject) => worker.on('error', reject).on('exit', resolve));
  });
  return Promise.all(workers);
}

if (isMainThread) {
  const [seedCount = '200', ruleNames = RULES.join(','), slips = '0', file] = process.argv.slice(2);
  const seeds = Number(seedCount);
  const rules = ruleNames.split(',');
  const rows = heldRows(file, seeds, rules);
  const held = new Set(rows.map(keyOf));
  await playAll({ seeds, rules, slipRatio: Number(slips), held }, (row) => {
    rows.push(row);
    if (file !== undefined) appendFileSync(file, `${JSON.stringify(row)}\n`);
  });
  const order = new Map(boards().map(({ name }, k) => [name, k]));
  rows.sort(
    (x, y) =>
      order.get(x.board) - order.get(y.board) ||
      RULES.indexOf(x.rule) - RULES.indexOf(y.rule) ||
      x.seed - y.seed,
  );
  console.log(`drills: seeds 0 to ${seeds - 1}, wrong readings ${slips}, faults 1 to 3`);
  console.log(table(rows));
  const unclear = rows.filter((row) => !row.clear);
  for (const row of unclear)
    console.log(`not proven clear: ${row.board} seed ${row.seed} by ${row.rule}`);
  process.exitCode = unclear.some((row) => row.rule === 'tool') ? 1 : 0;
} else playShare(workerData);
