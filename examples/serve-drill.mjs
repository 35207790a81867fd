#!/usr/bin/env node
// Plays a whole drill through `trace-short serve`, as a program of its own would: it asks what comes
// next, lets the simulated board answer where a bench would measure, records that, and goes on until
// nothing is left.
//
//   node examples/serve-drill.mjs [BOARD [SEED]]
import { spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

const command = fileURLToPath(new URL('../bin/trace-short.js', import.meta.url));
const hoist = fileURLToPath(new URL('../boards/hoist-drive.yaml', import.meta.url));
const [board = hoist, seed = '3'] = process.argv.slice(2);

const server = spawn(process.execPath, [command, 'serve'], {
  stdio: ['pipe', 'pipe', 'inherit'],
});
const waiting = new Map();
let count = 0;

createInterface({ input: server.stdout }).on('line', (line) => {
  const { id, result, error } = JSON.parse(line);
  const call = waiting.get(id);
  waiting.delete(id);
  if (error === undefined) call?.resolve(result);
  // `shown` is the whole message, with the place and a caret under it.
  else call?.reject(new Error(error.data?.diagnostics[0]?.shown ?? error.message));
});

/** Sends one call; the promise is kept when its reply comes in. */
function ask(method, params) {
  count += 1;
  const id = count;
  server.stdin.write(`${JSON.stringify({ jsonrpc: '2.0', id, method, params })}\n`);
  return new Promise((resolve, reject) => waiting.set(id, { resolve, reject }));
}

try {
  const { job, cautions } = await ask('open', { board, drill: { seed: Number(seed) } });
  console.log(`${cautions.board}: ${cautions.charges.length} places may hold a charge`);
  for (;;) {
    const step = await ask('next', { job });
    if (step.kind === 'done') break;
    // With a real board: show `step.text`, read the meter between `step.points`.
    const { lines } = await ask('measure', { job });
    const { recorded, likeliest } = await ask('record', { job, events: lines });
    const guess = likeliest === undefined ? '' : `  (${likeliest.text})`;
    console.log(`${step.kind.padEnd(9)} ${recorded.map(({ say }) => say).join(', ')}${guess}`);
  }
  const { drill } = await ask('close', { job });
  console.log(`hidden: ${drill.hidden.join(', ')}; missed: ${drill.missed.join(', ') || 'none'}`);
  process.exitCode = drill.clear && drill.missed.length === 0 ? 0 : 1;
} finally {
  server.stdin.end();
}
