#!/usr/bin/env node
// Shows what comes next in every job named, of any stage, from what `--json` prints; least bench time
// to a board read clear first.
//
//   node examples/json-next.mjs [JOB...]
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const command = fileURLToPath(new URL('../bin/trace-short.js', import.meta.url));
const example = fileURLToPath(new URL('hoist-job.yaml', import.meta.url));
const jobs = process.argv.length > 2 ? process.argv.slice(2) : [example];

/** The document `next` prints for a job; its `schema` tells which form it has. */
function nextStep(job) {
  const run = spawnSync(process.execPath, [command, 'next', job, '--json'], { encoding: 'utf8' });
  const document = JSON.parse(run.stdout);
  if (run.status !== 0) throw new Error(run.stderr.trim() || `exit ${run.status}`);
  if (document.schema !== 'trace-short/next/1') throw new Error(`unknown form ${document.schema}`);
  return document;
}

const steps = jobs.map(nextStep).sort((a, b) => a.advice.minutesLeft - b.advice.minutesLeft);
for (const { job, board, advice, next } of steps) {
  const left = advice.minutesLeft.toFixed(1);
  console.log(`${left} min  ${next.stage}: ${next.text}  (${board}, ${job})`);
}
