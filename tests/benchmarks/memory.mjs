// npm run bench -- memory [JOBS] [BOARD] [SIZES] [SEED]: bench minutes of jobs in a simulated shop after so many
// boards of one model, against a tool that knows what really fails there and one without a memory.
import { expectedOn } from '../../dist/job/memory/expected.js';
import { learn } from '../../dist/job/memory/learn.js';
import { DEFAULT_MEMORY_RULES } from '../../dist/job/memory/rules.js';
import { memorySettings } from '../../dist/job/memory/settings.js';
import { Clock, DEFAULT_BENCH_TIMES, mountOf } from '../../dist/steps/bench-times.js';
import { jobBoards } from './boards.mjs';
import { drawBoard, drawShop, normal, timesOf } from './memory-shop.mjs';
import { openBoard, playJob } from './play.mjs';

const [jobs = '12', name = 'bench-flyback', sizes = '10,30,100', seed = '1'] =
  process.argv.slice(2);
const { board } = jobBoards().find((one) => one.name === name);
const plain = openBoard(board);
const shop = drawShop(plain, Number(seed));
const later = drawShop(plain, Number(seed) + 1000);
const trueClock = new Clock(board, timesOf(shop));

/** What a job teaches in which everything that had failed was found: the record's readings are left out. */
function lessonOf(from, n) {
  const faults = drawBoard(from, n);
  const counts = new Map();
  for (const { part } of faults) {
    const { bank } = board.partNamed.get(part);
    if (bank !== undefined) counts.set(bank, (counts.get(bank) ?? 0) + 1);
  }
  const banks = [...counts].filter(([, count]) => count > 1).map(([bank]) => bank);
  return {
    job: `${n}`.padStart(6, '0'),
    board: board.name,
    at: new Date(n * 86_400_000).toISOString(),
    teaches: { weight: 0.9, why: 'read clear, and it ran' },
    failed: faults.map(({ part, opens }) => {
      const { kind, bank } = board.partNamed.get(part);
      const together = banks.includes(bank) ? { bank } : {};
      const how = opens ? 'open' : 'short';
      return { part, kind: kind.name, how, by: 'own legs', sure: 1, ...together };
    }),
    renewed: [],
    cleared: [],
    joints: [],
    banks,
    expected: expectedOn(board, plain.bench),
    minutes: timings(shop, faults, n),
    stages: {},
  };
}

/** Twenty readings, and each failed part off and a new one in, as a hand of that shop is quick. */
function timings(from, faults, n) {
  const random = normal(n * 31 + 7);
  const times = timesOf(from);
  const sums = {};
  const note = (action, minutes) => {
    const log = Math.log(minutes) + 0.4 * random() - 0.08;
    const [count, sum, squares] = sums[action] ?? [0, 0, 0];
    sums[action] = [count + 1, sum + log, squares + log * log];
  };
  for (let k = 0; k < 20; k++) note('reading continuity', times.reading.continuity);
  for (const { part } of faults) {
    const mount = mountOf(board.partNamed.get(part));
    if (mount === 'many leads') continue;
    note(`remove ${mount}`, times.remove[mount]);
    note(`fit ${mount}`, times.fit[mount]);
  }
  return sums;
}

function remembering(lessons) {
  const { circuit, settings } = plain.bench;
  const rules = DEFAULT_MEMORY_RULES;
  const figures = learn({
    circuit,
    settings,
    times: DEFAULT_BENCH_TIMES,
    rules,
    own: lessons,
    others: [],
  });
  return figures === undefined ? {} : memorySettings(figures, DEFAULT_BENCH_TIMES);
}

/** What the shop knows itself: its own shares in place of the handbooks'. */
function knowing() {
  const { modes } = plain.bench.priors;
  const { models } = plain.bench.circuit;
  const parts = new Map();
  board.parts.forEach(({ name: part, index }) => {
    const listed = { short: 0, open: 0 };
    models[index].modes.forEach(({ opens }, k) => {
      listed[opens ? 'open' : 'short'] += modes[index][k];
    });
    const own = shop.chances.get(part) ?? { short: 0, open: 0 };
    const ratio = (way) => (listed[way] > 0 ? Math.max(own[way], 1e-5) / listed[way] : 1);
    parts.set(part, { short: ratio('short'), open: ratio('open') });
  });
  const learnt = {
    parts,
    kinds: new Map(),
    otherKinds: 1,
    joints: new Map(),
    otherJoints: 0.01,
    banks: new Map(),
    otherBanks: 1,
    together: [],
    past: { boards: 0, failed: new Map() },
  };
  return { faults: { learnt }, steps: { times: timesOf(shop) } };
}

/** What a step costs in that shop, whatever the tool took it to cost. */
function trueMinutes({ step }, { state }) {
  const then = 'then' in step && step.then !== undefined ? trueClock.read(step.then) : 0;
  switch (step.kind) {
    case 'read':
      return trueClock.read(step.probe);
    case 'lift':
      return trueClock.liftLeg(board.parts[step.part]) + then;
    case 'remove':
      return trueClock.remove(step.parts, state) + then;
    case 'refit':
      return trueClock.fit(step.parts, state);
    case 'replace':
      return trueClock.replace(step.parts, state);
    case 'reflow':
      return step.pins.length * trueClock.reflow;
    case 'done':
      return 0;
    default:
      return trueClock.look;
  }
}

const mean = (list) => list.reduce((a, b) => a + b, 0) / list.length;

function play(options, from) {
  const workbench = openBoard(board, options);
  const minutes = [];
  let missed = 0;
  let back = 0;
  for (let n = 0; n < Number(jobs); n++) {
    let sum = 0;
    const played = playJob(workbench, {
      seed: 5000 + n,
      these: drawBoard(from, 100_000 + n).map(({ part, mode }) => ({ part, mode })),
      watch: (analysis, advice) => {
        sum += trueMinutes(advice, analysis.evidence);
      },
    });
    missed += played.missed;
    if (played.missed > 0) back++;
    minutes.push(sum);
  }
  return { minutes, missed, whole: mean(minutes) * (1 + back / minutes.length) };
}

/** Standard error of the difference over the same boards. */
function spread(list, other) {
  const off = list.map((value, k) => value - other[k]);
  const middle = mean(off);
  return Math.sqrt(off.reduce((a, b) => a + (b - middle) ** 2, 0) / (off.length - 1) / off.length);
}

console.log(`memory: ${name}, shop ${seed}, ${jobs} jobs each, the same boards for all`);
console.log('| boards seen | minutes | beside none | ± | faults unread | minutes with comebacks |');
console.log('|---|---|---|---|---|---|');
const none = play({}, shop);
// A board that left with a fault unread comes back: one more job like the others.
const row = (label, { minutes, missed, whole }, beside) => {
  const off = (mean(minutes) / mean(beside.minutes) - 1) * 100;
  const error = (spread(minutes, beside.minutes) / mean(beside.minutes)) * 100;
  console.log(
    `| ${label} | ${mean(minutes).toFixed(1)} | ${off.toFixed(1)} % | ${error.toFixed(1)} % | ${missed} | ${whole.toFixed(1)} |`,
  );
};
row('no memory', none, none);
for (const size of sizes.split(',').map(Number)) {
  const lessons = Array.from({ length: size }, (_, n) => lessonOf(shop, n + 1));
  row(`${size}`, play(remembering(lessons), shop), none);
}
row('knows the shop', play(knowing(), shop), none);
const most = Math.max(...sizes.split(',').map(Number));
const changed = Array.from({ length: most }, (_, n) =>
  lessonOf(n < most / 2 ? later : shop, n + 1),
);
row(`${most}, others failed in the first half`, play(remembering(changed), shop), none);
