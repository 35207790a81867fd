// npm run bench -- NAME [options]: runs one benchmark, or all of them and writes a page of the results.

import { spawnSync } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const ALL = [
  'start-up',
  'long-job',
  'circuit',
  'drills',
  'calibration',
  'wrong-readings',
  'optimum',
  'unread',
  'big-board',
  'copper',
  'import',
  'map',
  'half-known',
  'memory',
  'shop-database',
  'memory-folder',
];
/** Words before the file of rows, of those that keep one. */
const KEEPING = {
  drills: ['200', 'tool,likely,halving,pulling', '0'],
  calibration: ['3000', '400'],
  optimum: ['300'],
  copper: ['20'],
};

const [name, ...rest] = process.argv.slice(2);
if (name === undefined) runAll();
else if ([...ALL, 'report'].includes(name)) run(name, rest);
else {
  console.error(`no benchmark "${name}"; there are: ${[...ALL, 'report'].join(', ')}`);
  process.exitCode = 2;
}

function run(each, words) {
  const file = fileURLToPath(new URL(`./${each}.mjs`, import.meta.url));
  const { status } = spawnSync(process.execPath, [file, ...words], { stdio: 'inherit' });
  if (status !== 0) process.exit(status ?? 70);
}

function runAll() {
  const folder = mkdtempSync(join(tmpdir(), 'trace-short-bench-'));
  const rowsOf = (each) => join(folder, `${each}.rows`);
  for (const each of ALL) run(each, each in KEEPING ? [...KEEPING[each], rowsOf(each)] : []);
  const sources = Object.keys(KEEPING).map((each) => `${each}=${rowsOf(each)}`);
  run('report', [join(folder, 'benchmarks.html'), ...sources]);
}
