// npm run bench -- circuit [speed | growth]: a reading beside the same one by ngspice, and how time and
// memory grow with the size of a board; both unless one is named.

import { measureGrowth } from './circuit-growth.mjs';
import { measureSpeed } from './circuit-speed.mjs';

const PARTS = { speed: measureSpeed, growth: measureGrowth };

const [name] = process.argv.slice(2);
if (name !== undefined && PARTS[name] === undefined) {
  console.error(`no part "${name}"; there are: ${Object.keys(PARTS).join(', ')}`);
  process.exit(2);
}
for (const measure of name === undefined ? Object.values(PARTS) : [PARTS[name]]) measure();
