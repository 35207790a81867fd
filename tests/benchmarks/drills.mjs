// npm run bench -- drills [SEEDS] [RULES] [SLIPS]: jobs played to the end on simulated boards, 1 to 3
// hidden faults, by the tool and by two simple rules.

import { cpus } from 'node:os';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import { realBoards, shippedBoards } from './boards.mjs';
import { openBoard, playJob } from './play.mjs';

const RULES = ['tool', 'likely', 'halving'];

function boards() {
  return [...shippedBoards(), ...realBoards(['libresolar-mppt', 'dcdc-rtc', 'vesc-bldc4'])];
}

function playShare({ seeds, rules, slipRatio, share, shares }) {
  const rows = [];
  for (const { name, board } of boards()) {
    const workbench = openBoard(board);
    for (const rule of rules) {
      for (let seed = share; seed < seeds; seed += shares) {
        const result = playJob(workbench, { seed, faults: 1 + (seed % 3), slipRatio, rule });
        rows.push({ board: name, rule, seed, ...result });
      }
    }
    parentPort.postMessage({ progress: name });
  }
  parentPort.postMessage({ rows });
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

if (isMainThread) {
  const [seeds = '200', rules = RULES.join(','), slips = '0'] = process.argv.slice(2);
  const shares = Math.max(1, cpus().length);
  const rows = [];
  const done = Array.from({ length: shares }, (_, share) => {
    const data = {
      seeds: Number(seeds),
      rules: rules.split(','),
      slipRatio: Number(slips),
      share,
      shares,
    };
    const worker = new Worker(new URL(import.meta.url), { workerData: data });
    return new Promise((resolve, reject) => {
      worker.on('message', (message) => {
        if (message.rows !== undefined) rows.push(...message.rows);
        else process.stderr.write(`worker ${share}: ${message.progress} done\n`);
      });
      worker.on('error', reject);
      worker.on('exit', resolve);
    });
  });
  await Promise.all(done);
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
