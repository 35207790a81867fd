// npm run bench -- NAME [options]: runs one benchmark, or all of them.

import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const ALL = ['start-up', 'circuit', 'drills', 'calibration', 'optimum'];
const [name, ...rest] = process.argv.slice(2);
const chosen = name === undefined ? ALL : [name];
for (const each of chosen) {
  if (!ALL.includes(each)) {
    console.error(`no benchmark "${each}"; there are: ${ALL.join(', ')}`);
    process.exit(2);
  }
  const file = fileURLToPath(new URL(`./${each}.mjs`, import.meta.url));
  const { status } = spawnSync(process.execPath, [file, ...rest], { stdio: 'inherit' });
  if (status !== 0) process.exit(status ?? 70);
}
