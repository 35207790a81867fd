// Jobs spread over worker threads, each kept in a file as it ends, so that a run can be stopped and
// goes on from there.

import { appendFileSync, existsSync, readFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { Worker } from 'node:worker_threads';

/**
 * @param module URL of the module whose workers post rows
 * @param held rows that need not be made again
 * @returns those and the new ones
 */
export async function playShares(module, settings, { held, file }) {
  const rows = [...held];
  const shares = Math.max(1, cpus().length);
  const workers = Array.from({ length: shares }, (_, share) => {
    const worker = new Worker(module, {
      workerData: { ...settings, share, shares },
      resourceLimits: { maxYoungGenerationSizeMb: 192 }, // a job makes much that is soon gone
    });
    worker.on('message', (row) => {
      rows.push(row);
      if (file !== undefined) appendFileSync(file, `${JSON.stringify(row)}\n`);
    });
    return new Promise((resolve, reject) => worker.on('error', reject).on('exit', resolve));
  });
  await Promise.all(workers);
  return rows;
}

/** What an earlier run left in the file, as far as it belongs to this one. */
export function heldRows(file, belongs) {
  if (file === undefined || !existsSync(file)) return [];
  const lines = readFileSync(file, 'utf8').split('\n');
  return lines
    .filter((line) => line.endsWith('}'))
    .map((line) => JSON.parse(line))
    .filter(belongs);
}
