// npm run bench -- shop-database [JOBS] [MODELS]: what opening and handing in a job cost in a shop's database of so many
// jobs, in a PostgreSQL of its own; the plan of the one question that an opening asks.
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readAddress } from '../../dist/job/memory/database/address.js';
import { countsOf } from '../../dist/job/memory/database/counts.js';
import { DatabaseStore } from '../../dist/job/memory/database/database-store.js';
import { Link } from '../../dist/job/memory/database/link.js';
import { prepareDatabase } from '../../dist/job/memory/database/prepare.js';
import { shopStore } from '../../dist/job/memory/database/shop-store.js';
import { PAST } from '../../dist/job/memory/database/statements.js';
import { folderStore } from '../../dist/job/memory/folder-store.js';
import { DEFAULT_MEMORY_RULES } from '../../dist/job/memory/rules.js';
import { dice } from './dice.mjs';
import { startServer } from './shop-server.mjs';

const [most = 1_000_000, models = 2000] = process.argv.slice(2).map(Number);
const OPENINGS = 300;
const HAND_INS = 200;
const SAMPLES = 3;

const KINDS = [
  'resistor',
  'ceramic',
  'electrolytic',
  'diode',
  'n-mosfet',
  'ic',
  'film',
  'inductor',
  'fuse',
  'zener',
];
const PLACES = ['mains', 'bus', 'signal'];
const ACTIONS = [
  'reading continuity',
  'reading ohms',
  'look',
  'liftLeg',
  'remove two leads',
  'fit two leads',
];
const EXPECTED = {
  kinds: Object.fromEntries(KINDS.map((kind, n) => [kind, 0.01 * (n + 1)])),
  duties: Object.fromEntries(
    KINDS.flatMap((kind, n) => PLACES.map((place) => [`${kind} at ${place}`, 0.003 * (n + 1)])),
  ),
  joints: 0.05,
  banks: 0.02,
};

const server = startServer();
if (server === undefined) {
  console.log('shop-database: left out, there is no PostgreSQL on this machine');
  process.exit();
}
try {
  await bench();
} finally {
  server.stop();
}

async function bench() {
  await psql('postgres', 'create database shop');
  const owner = linkTo('shop', 'postgres');
  await prepareDatabase(owner, DEFAULT_MEMORY_RULES);
  await psql('shop', 'create role bench1 login in role trace_short_bench');
  await psql(
    'shop',
    `insert into trace_short.model (name) select 'Board ' || n from generate_series(0, ${models - 1}) n order by n;
     insert into trace_short.model_name select name, id from trace_short.model`,
  );
  console.log(
    `shop-database: up to ${most} jobs of ${models} models; PostgreSQL on this machine, defaults`,
  );
  console.log(
    '| jobs | opening: median, ms | 9 in 10 below | questions | hand-in: median | 9 in 10 below | ten late: median |',
  );
  console.log('|---|---|---|---|---|---|---|');
  let held = 0;
  for (let size = 1000; size <= most; size *= 10) {
    await fill(held, size);
    held = size;
    await row(size);
  }
  await checkSums();
  await showPlan();
}

async function row(size) {
  const link = linkTo('shop', 'bench1');
  const store = new DatabaseStore(link);
  const random = dice(size);
  const any = () => ({ board: `Board ${Math.floor(random() * models)}` });
  const openings = await timed(OPENINGS, () => store.sums(any()));
  const asked = await questionsOf(link);
  const hand = (n, at) => lessonOf(`new-${size}-${n}`, Math.floor(random() * models), at, random);
  const fresh = await timed(HAND_INS, (n) => store.handIn(hand(n, dateOf(2 * most + n))));
  const later = 2 * most + HAND_INS;
  for (let n = 0; n < 10; n++)
    await store.handIn(lessonOf(`late-${size}-${n}`, 0, dateOf(later + n), random));
  const late = await timed(50, (n) =>
    store.handIn(lessonOf(`came-${size}-${n}`, 0, dateOf(later - 1), random)),
  );
  await link.close();
  await takeBack();
  console.log(
    `| ${size} | ${openings.median} | ${openings.most} | ${asked} | ${fresh.median} | ${fresh.most} | ${late.median} |`,
  );
}

/** What was handed in to be timed goes again, so that each size is what it says. */
async function takeBack() {
  await psql(
    'shop',
    `do $$ declare j text; begin
       for j in select job from trace_short.job where job not like 'job-%' loop perform trace_short.take_out(j); end loop;
     end $$;
     delete from trace_short.job where job not like 'job-%'`,
  );
}

/** How often a whole opening, with a bench's own folder, asks the database. */
async function questionsOf(link) {
  const folder = mkdtempSync(join(tmpdir(), 'shop-bench-folder-'));
  let count = 0;
  const counting = {
    address: link.address,
    ask: (...words) => {
      count++;
      return link.ask(...words);
    },
  };
  const local = folderStore({ folder, list: () => [], teach: async () => undefined });
  await shopStore({ local, folder, link: counting }).past(
    { board: 'Board 7' },
    DEFAULT_MEMORY_RULES,
  );
  rmSync(folder, { recursive: true, force: true });
  return count;
}

/** Jobs as benches would have handed them in, in one go; then all is counted by the database itself. */
async function fill(from, to) {
  const columns = 'job, name, model, at, weight, place, teaching_place, sum, lesson, counts';
  const child = spawn(
    server.psql[0],
    [
      ...server.psql.slice(1),
      '-q',
      '-d',
      'shop',
      '-c',
      `copy trace_short.job (${columns}) from stdin`,
    ],
    { stdio: ['pipe', 'inherit', 'inherit'] },
  );
  const ended = once(child, 'close');
  let lines = [];
  for (let n = from; n < to; n++) {
    lines.push(lineOf(n));
    if (lines.length < 500) continue;
    if (!child.stdin.write(lines.join(''))) await once(child.stdin, 'drain');
    lines = [];
  }
  child.stdin.end(lines.join(''));
  const [code] = await ended;
  if (code !== 0) throw new Error('filling failed');
  await psql('shop', 'select trace_short.recount_all()');
  await psql('shop', 'vacuum analyze');
}

function lineOf(n) {
  const lesson = numbered(n);
  const fields = [
    lesson.job,
    lesson.board,
    (n % models) + 1,
    lesson.at,
    lesson.teaches.weight,
    // Counting sees to these as well; told beforehand it need not write every job twice.
    Math.floor(n / models),
    Math.floor(n / models),
    String(n),
    JSON.stringify(lesson),
    JSON.stringify(countsOf(lesson)),
  ];
  return `${fields.map((field) => String(field).replaceAll('\\', '\\\\')).join('\t')}\n`;
}

function numbered(n) {
  return lessonOf(`job-${n}`, n % models, dateOf(n), dice(n + 1));
}

function dateOf(n) {
  return new Date(Date.UTC(2000, 0, 1) + n * 60_000).toISOString();
}

/** One or two parts failed of forty that a model has, a few of them far oftener than the rest. */
function lessonOf(job, model, at, random) {
  const count = random() < 0.3 ? 2 : 1;
  const parts = new Set();
  while (parts.size < count) parts.add(Math.floor(40 * random() ** 3));
  const failed = [...parts].map((part) => {
    const kind = KINDS[(part + model) % KINDS.length];
    return {
      part: `P${part}`,
      kind,
      duty: `${kind} at ${PLACES[part % PLACES.length]}`,
      how: random() < 0.7 ? 'short' : 'open',
      by: 'own legs',
      sure: random() < 0.8 ? 1 : 0.9,
    };
  });
  const minutes = ACTIONS.map((action) => {
    const log = Number((random() * 1.5).toFixed(4));
    return [action, [1 + Math.floor(random() * 9), log, Number((log * log).toFixed(4))]];
  });
  return {
    job,
    board: `Board ${model}`,
    at,
    teaches: { weight: random() < 0.7 ? 1 : 0.4, why: 'signed off cleared' },
    failed,
    renewed: [],
    cleared: [],
    joints: random() < 0.1 ? ['P1.2'] : [],
    banks: [],
    units: [...parts].map((part) => `P${part}`).sort(),
    expected: EXPECTED,
    minutes: Object.fromEntries(minutes),
    stages: { isolate: 20, repair: 15 },
  };
}

/** Sums of some models beside those of a database into which their jobs are handed one by one, in any order. */
async function checkSums() {
  const [{ off }] = await psqlRows(
    `select count(*) as off from trace_short.whole w full join (
       select f.what, f.key, sum(f.s1) as s1, sum(f.s2) as s2, sum(f.s3) as s3
       from trace_short.model m cross join lateral unnest(trace_short.shared_of(m.id)) f group by 1, 2
     ) s using (what, key)
     where coalesce(w.s1, 0) <> coalesce(s.s1, 0) or coalesce(w.s2, 0) <> coalesce(s.s2, 0) or coalesce(w.s3, 0) <> coalesce(s.s3, 0)`,
  );
  await psql('postgres', 'create database beside');
  const owner = linkTo('beside', 'postgres');
  await prepareDatabase(owner, DEFAULT_MEMORY_RULES);
  const beside = new DatabaseStore(owner);
  const shop = new DatabaseStore(linkTo('shop', 'bench1'));
  let worst = 0;
  for (let sample = 0; sample < SAMPLES; sample++) {
    const model = Math.floor((sample * models) / SAMPLES);
    const numbers = [];
    for (let n = model; n < most; n += models) numbers.push(n);
    const random = dice(sample + 99);
    // Near their turn, as benches hand in, some a few places late.
    const order = numbers.map((n, at) => [n, at + 4 * random()]).sort(([, x], [, y]) => x - y);
    for (const [n] of order) await beside.handIn(numbered(n));
    const board = { board: `Board ${model}` };
    const own = (rows) =>
      new Map(
        rows
          .filter(({ of }) => of !== 'others')
          .map((row) => [`${row.of} ${row.what} ${row.key}`, row.figures]),
      );
    const [one, other] = [own(await shop.sums(board)), own(await beside.sums(board))];
    if (one.size !== other.size)
      throw new Error(`model ${model}: ${one.size} sums beside ${other.size}`);
    for (const [name, figures] of one) {
      figures.forEach((figure, at) => {
        worst = Math.max(worst, Math.abs(figure - other.get(name)[at]));
      });
    }
  }
  await shop.link.close();
  await owner.close();
  console.log(
    `\nsums of all models together that are off: ${off}; of ${SAMPLES} models counted job by job, worst off: ${worst.toExponential(1)}`,
  );
}

async function showPlan() {
  const link = linkTo('shop', 'bench1');
  const rows = await link.alone(async (client) => {
    await client.query(`prepare past (text) as ${PAST.text}`);
    return (
      await client.query(
        `explain (analyze, buffers, costs off, timing off) execute past('Board ${Math.min(7, models - 1)}')`,
      )
    ).rows;
  });
  console.log('\nthe plan of an opening:');
  for (const row of rows) console.log(`  ${row['QUERY PLAN']}`);
  const [size] = await psqlRows("select pg_size_pretty(pg_database_size('shop')) as size");
  console.log(`\nthe database takes ${size.size}`);
}

async function timed(count, work) {
  const times = [];
  for (let n = 0; n < count + 10; n++) {
    const start = performance.now();
    await work(n);
    if (n >= 10) times.push(performance.now() - start);
  }
  times.sort((x, y) => x - y);
  const at = (share) => times[Math.floor(share * times.length)].toFixed(1);
  return { median: at(0.5), most: at(0.9) };
}

function linkTo(database, user) {
  return new Link(readAddress(server.url(database, user), {}), { env: {}, answerMs: 600_000 });
}

function psql(database, sql) {
  const link = linkTo(database, 'postgres');
  return link.alone((client) => client.query(sql));
}

async function psqlRows(sql) {
  return (await psql('shop', sql)).rows;
}
