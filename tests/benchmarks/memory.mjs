// npm run bench -- memory [JOBS] [BOARDS] [SHOPS] [ROWS]: bench minutes of jobs in simulated shops after so many
// boards of one model, beside a tool without a memory and one that knows what really fails there. All of them get
// the same boards and the same dice. With a file of rows a run goes on where the last one ended.
import { appendFileSync, existsSync, readFileSync } from 'node:fs';
import { learn } from '../../dist/job/memory/learn.js';
import { DEFAULT_MEMORY_RULES } from '../../dist/job/memory/rules.js';
import { memorySettings } from '../../dist/job/memory/settings.js';
import { DEFAULT_BENCH_TIMES } from '../../dist/steps/bench-times.js';
import { shippedBoards, skeletonBoards } from './boards.mjs';
import { knowing } from './memory-knowing.mjs';
import { lessonOf } from './memory-lessons.mjs';
import { drawBoard, drawShop, stepMinutes } from './memory-shop.mjs';
import { report } from './memory-table.mjs';
import { openBoard, playJob } from './play.mjs';

const [jobs = '6', names = 'bench-flyback,hoist-drive,half-bridge', shops = '3', file] =
  process.argv.slice(2);
const all = [...shippedBoards(), ...skeletonBoards(['half-bridge', 'flyback'])];
const boards = names.split(',').map((name) => all.find((one) => one.name === name));
const held = file !== undefined && existsSync(file) ? readFileSync(file, 'utf8') : '';
const rows = held.split('\n').flatMap((line) => (line === '' ? [] : [JSON.parse(line)]));
const keyOf = ({ board, shop, seen, job }) => [board, shop, seen, job].join('\n');
const known = new Set(rows.map(keyOf));
/** Boards seen of the shop as it is, after so many of it as it was before. */
const SEEN = { 0: [0], 10: [10], 30: [30], 100: [100], 300: [300] };
const CHANGED = { 'changed, 0': [0, 100], 'changed, 30': [30, 100], 'changed, 100': [100, 100] };
const benches = new Map();
const ALL = { ...SEEN, ...CHANGED, knows: [] };

for (let job = 0; job < Number(jobs); job++) {
  for (let shop = 1; shop <= Number(shops); shop++) {
    for (const { name, board } of boards) playAll(name, board, shop, job);
  }
}
report(rows, Object.keys(ALL));

function playAll(name, board, number, job) {
  for (const seen of Object.keys(ALL)) {
    const row = { board: name, shop: number, seen, job };
    if (known.has(keyOf(row))) continue;
    const { workbench, shop } = benchOf(name, board, number, seen);
    Object.assign(row, playOne(workbench, shop, job));
    rows.push(row);
    if (file !== undefined) appendFileSync(file, `${JSON.stringify(row)}\n`);
  }
}

function benchOf(name, board, number, seen) {
  const key = [name, number, seen].join('\n');
  const made = benches.get(key) ?? openBench(board, number, ALL[seen]);
  benches.set(key, made);
  return made;
}

function openBench(board, number, [boardsSeen, before = 0]) {
  const plain = openBoard(board);
  const shop = drawShop(plain, number);
  if (boardsSeen === undefined) {
    return { shop, workbench: openBoard(board, knowing(plain, shop)) };
  }
  const was = drawShop(plain, number + 1000);
  const lessons = [
    ...Array.from({ length: before }, (_, n) => lessonOf(plain, was, n + 1)),
    ...Array.from({ length: boardsSeen }, (_, n) => lessonOf(plain, shop, before + n + 1)),
  ];
  const { circuit, settings } = plain.bench;
  const rules = DEFAULT_MEMORY_RULES;
  const times = DEFAULT_BENCH_TIMES;
  const figures = learn({ circuit, settings, times, rules, own: lessons, others: [] });
  const options = figures === undefined ? {} : memorySettings(figures, times);
  return { shop, workbench: openBoard(board, options) };
}

/** A board that leaves with a fault unread comes back once: the minutes of that job count as well. */
function playOne(workbench, shop, job) {
  const first = visit(workbench, shop, job, drawBoard(shop, 100_000 + job));
  if (first.left.length === 0) return { minutes: first.minutes, missed: 0, back: 0 };
  const again = visit(workbench, shop, job + 500, first.left);
  return { minutes: first.minutes, missed: first.left.length, back: again.minutes };
}

function visit(workbench, shop, job, faults) {
  let minutes = 0;
  let last;
  playJob(workbench, {
    seed: 5000 + job,
    these: faults.map(({ part, mode }) => ({ part, mode })),
    watch: ({ evidence }, advice) => {
      minutes += stepMinutes(workbench.board, shop, advice.step, evidence.state);
      last = evidence.state;
    },
  });
  const { partNamed } = workbench.board;
  const left = faults.filter(({ part }) => (last.piece.get(partNamed.get(part).index) ?? 0) === 0);
  return { minutes, left };
}
