// npm run bench -- start-up: what the command costs over bare Node, all in one run, as ratios.

import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { realBoards } from './boards.mjs';

const BIN = fileURLToPath(new URL('../../bin/trace-short.js', import.meta.url));
const ROUNDS = 15;

const folder = mkdtempSync(join(tmpdir(), 'start-up-'));
const cases = [
  { name: 'bare node', args: ['-e', ''] },
  { name: '--help', args: [BIN, '--help'] },
];
for (const { name, yaml } of realBoards([
  'libresolar-mppt',
  'dcdc-rtc',
  'vesc-bldc4',
  'minnow-v1',
])) {
  const board = join(folder, `${name}.yaml`);
  const job = join(folder, `${name}-job.yaml`);
  writeFileSync(board, yaml);
  spawnSync(process.execPath, [BIN, 'start', board, '-o', job]);
  cases.push({ name: `next --json on ${name}`, args: [BIN, 'next', job, '--json'] });
  const line = `trace-short log ${job} `;
  cases.push({
    name: `a completion on ${name}`,
    args: [BIN, 'completion', 'answer', 'bash', line, ''],
  });
}
const times = cases.map(() => []);
for (let round = 0; round < ROUNDS; round++) {
  cases.forEach(({ args }, k) => {
    const start = performance.now();
    const { status } = spawnSync(process.execPath, args, { stdio: 'ignore' });
    times[k].push(performance.now() - start);
    if (status !== 0) console.log(`exit ${status} from ${args.join(' ')}`);
  });
}
rmSync(folder, { recursive: true });
const median = (list) => list.toSorted((a, b) => a - b)[Math.floor(list.length / 2)];
const fastest = (list) => Math.min(...list);
console.log(
  `start-up: median and fastest of ${ROUNDS}, interleaved; on a busy machine the fastest tell more`,
);
cases.forEach(({ name }, k) => {
  const figures = [median, fastest].map((of) => {
    const ms = of(times[k]);
    const ratio = ms / of(times[0]);
    return `${ms.toFixed(0).padStart(6)} ms ${ratio.toFixed(2).padStart(6)} ×`;
  });
  console.log(`${name.padEnd(36)} ${figures.join('  ')}`);
});
