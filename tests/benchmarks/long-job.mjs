// npm run bench -- long-job: what opening a job of 10,000 events costs over bare Node, in one run. `where`
// reads and replays it and does next to nothing else, `recheck` compares all of its readings.

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
const ROUNDS = 7;
const SIZES = [100, 1_000, 10_000];

const folder = mkdtempSync(join(tmpdir(), 'long-job-'));
const file = join(ROOT, 'boards/hoist-drive.yaml');
const { board } = loadBoard(readFileSync(file, 'utf8'), file);

const cases = [{ name: 'bare node', args: ['-e', ''] }];
for (const size of SIZES) {
  const job = join(folder, `job-${size}.yaml`);
  writeFileSync(job, recordOf(size));
  cases.push({ name: `where, ${size} events`, args: [BIN, 'where', job, 'P48', '--json'] });
  cases.push({ name: `recheck, ${size} events`, args: [BIN, 'recheck', job, '--json'] });
}
const times = cases.map(() => []);
for (let round = 0; round < ROUNDS; round++) {
  cases.forEach(({ args }, k) => {
    const start = performance.now();
    const { status, stderr } = spawnSync(process.execPath, args, {
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    times[k].push(performance.now() - start);
    if (status === 2 || status === 70) console.log(`exit ${status}: ${args.join(' ')}\n${stderr}`);
  });
}
rmSync(folder, { recursive: true });
const median = (list) => list.toSorted((a, b) => a - b)[Math.floor(list.length / 2)];
const bare = median(times[0]);
console.log(`long-job: median of ${ROUNDS}, interleaved; hoist-drive`);
cases.forEach(({ name }, k) => {
  const ms = median(times[k]);
  console.log(
    `${name.padEnd(28)} ${ms.toFixed(0).padStart(6)} ms  ${(ms / bare).toFixed(1).padStart(6)} × bare node`,
  );
});

/** A bench that reads, looks, lifts, notes and changes its mind, over and over. */
function recordOf(size) {
  const random = dice(7);
  const pick = (list) => list[Math.floor(random() * list.length)];
  const nets = board.nets.map(({ name }) => name);
  const parts = board.parts.map(({ name }) => name);
  const lift = pick(board.parts.filter(({ kind }) => kind.link)).name;
  const says = [];
  while (says.length < size - 1) {
    const share = random();
    if (share < 0.6) {
      const [a, b] = [pick(nets), pick(nets)];
      if (a !== b) says.push(`${a} ${b} quiet`);
    } else if (share < 0.75) says.push(`look ${pick(parts)} looks sound`);
    else if (share < 0.85) says.push(`note ${says.length} looked at under the lamp`);
    else if (share < 0.9) says.push(`tick ${pick(parts)} tested`);
    else if (share < 0.95) says.push(`lift ${lift}`, `refit ${lift}`);
    else says.push('note a slip', 'undo', 'redo', 'undo');
  }
  const at = (n) => new Date(Date.UTC(2026, 0, 5, 8) + n * 20_000).toISOString();
  const open = { board: board.name, file, digest: board.digest, purpose: 'repair', version: 1 };
  let { text, sum } = writeEventLine({ n: 1, at: at(0), open }, '');
  for (const [k, say] of says.slice(0, size - 1).entries()) {
    const line = writeEventLine({ n: k + 2, at: at(k + 1), say }, sum);
    text += line.text;
    sum = line.sum;
  }
  return text;
}
