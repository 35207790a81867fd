// npm run bench -- memory-folder [RECORDS] [MODELS]: what opening a job costs in a folder of so many job records
// beside one without any, in processor time and in one run: with nothing new, and with one more record each time.

import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { loadBoard } from '../../dist/board/load.js';
import { writeEventLine } from '../../dist/job/event-line.js';
import { dice } from './dice.mjs';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const BIN = join(ROOT, 'bin/trace-short.js');
const ROUNDS = 9;
/** Run in each process: its processor time, ms, is the last line of what it says on stderr. */
const TOLD = `data:text/javascript,process.on('exit',()=>{const{user,system}=process.cpuUsage();
process.stderr.write('\\n'+(user+system)/1000)})`;

const [records = '20000', models = '20'] = process.argv.slice(2);
const source = readFileSync(join(ROOT, 'boards/bench-flyback.yaml'), 'utf8');
const [full, empty] = ['full', 'empty'].map((name) =>
  mkdtempSync(join(tmpdir(), `memory-${name}-`)),
);
const next = dice(3);
const boards = Array.from({ length: Number(models) }, (_, n) => {
  const file = `board-${n}.yaml`;
  const text = source.replace(/^board: .*$/m, `board: Bench supply ${n}`);
  writeFileSync(join(full, file), text);
  if (n === 0) writeFileSync(join(empty, file), text);
  return { ...loadBoard(text, file).board, file };
});
const parts = boards[0].parts.filter(({ kind }) =>
  /diode|schottky|mosfet|electrolytic/.test(kind.name),
);
let made = 0;
while (made < Number(records)) addRecord();

try {
  console.log(
    `memory-folder: ${records} records of ${models} models; processor time, fastest and median of ${ROUNDS}`,
  );
  console.log(`read for the first time: ${(open(full) / 1000).toFixed(1)} s`);
  const cases = [
    ['no records', () => open(empty)],
    ['nothing new', () => open(full)],
    ['one new', () => oneNew()],
  ];
  const times = cases.map(() => []);
  for (let round = 0; round < ROUNDS; round++) {
    for (const [k, [, run]] of cases.entries()) times[k].push(run());
  }
  const fastest = (list) => Math.min(...list);
  const median = (list) => list.toSorted((a, b) => a - b)[Math.floor(list.length / 2)];
  cases.forEach(([name], k) => {
    const figures = [fastest, median].map((of) => {
      const ms = of(times[k]);
      return `${ms.toFixed(0).padStart(6)} ms ${(ms / of(times[0])).toFixed(2).padStart(5)} ×`;
    });
    console.log(`${name.padEnd(14)} ${figures.join('  ')}`);
  });
} finally {
  for (const folder of [full, empty]) rmSync(folder, { recursive: true });
}

/** Processor time of opening a job, ms; the job is taken away again. */
function open(folder) {
  const job = join(folder, 'new-job.yaml');
  const args = ['--import', TOLD, BIN, 'start', join(folder, 'board-0.yaml'), '-o', job, '--json'];
  const { status, stderr } = spawnSync(process.execPath, args, { encoding: 'utf8' });
  if (status !== 0) throw new Error(`exit ${status}: ${stderr}`);
  rmSync(job);
  return Number(stderr.slice(stderr.lastIndexOf('\n') + 1));
}

function oneNew() {
  addRecord();
  return open(full);
}

/** A whole job in which one part is found, on one of the boards. */
function addRecord() {
  const board = boards[made % boards.length];
  const part = parts[Math.floor(next() * parts.length)].name;
  const pins = board.partNamed.get(part).pins.map((pin) => board.pins[pin]);
  const [one, other] = pins.map(({ net }) => board.nets[net].name);
  const legs = pins.map(({ name }) => name);
  const says = [
    'customer trips the breaker',
    `look ${part} looks sound`,
    `${one} ${other} beep`,
    `remove ${part}`,
    `off ${part}: ${legs[0]} ${legs[1]} ${(next() + 0.1).toFixed(2)} ohm`,
    `${one} ${other} quiet`,
    `replace ${part}`,
    `${one} ${other} quiet`,
    'note done',
  ];
  const begun = Date.UTC(2026, 0, 1) + made * 3_600_000;
  const at = (n) => new Date(begun + n * (30_000 + 60_000 * next())).toISOString();
  const { name, revision, file, digest } = board;
  const open = {
    board: name,
    revision: revision ?? '',
    file,
    digest,
    purpose: 'repair',
    version: 1,
  };
  const events = says.map((say, k) => ({ n: k + 2, at: at(k + 1), say }));
  let [text, sum] = ['', ''];
  for (const event of [{ n: 1, at: at(0), open }, ...events]) {
    const line = writeEventLine(event, sum);
    text += line.text;
    sum = line.sum;
  }
  writeFileSync(join(full, `job-${made++}.yaml`), text);
}
