// npm run oracle -- [PAIRS] [BOARD…] [--golden]: what a meter shows between points of the shipped boards
// and of real ones, or of the boards named, by the program and by ngspice: PAIRS pairs healthy and as
// many with faults and lifts (200 unless told), in every mode. With --golden it writes the sample that
// the tests replay instead.

import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { COMMON_HANDHELD } from '../../dist/circuit/meter.js';
import { realBoards, shippedBoards } from '../benchmarks/boards.mjs';
import { runBoard } from './board-run.mjs';
import { writeGolden } from './golden.mjs';
import { meterOfAllModes } from './meter.mjs';
import { failureText, reproduce, tableText } from './show.mjs';
import { simulatorVersion } from './simulator.mjs';

const SHIPPED = ['hoist-drive', 'bypass-rail', 'bench-flyback'];
const REAL = [
  'one-inch-laser',
  'open-motion-light',
  'vesc-bldc4',
  'libresolar-mppt',
  'blus-mini-mk2',
  'dcdc-rtc',
  'libresolar-bms',
  'duet2',
  'minnow-v1',
];
const SEED = 20_260;
const SHOWN_FAILURES = 20;

const words = process.argv.slice(2);
const golden = words.includes('--golden');
const pairs = Number(words.find((word) => /^\d+$/.test(word)) ?? 200);
const names = words.filter((word) => word !== '--golden' && !/^\d+$/.test(word));
const known = [...SHIPPED, ...REAL];
const stray = names.find((name) => !known.includes(name));
if (stray !== undefined || pairs < 1) {
  console.error(
    stray === undefined
      ? 'no pairs to read'
      : `no board "${stray}"; there are: ${known.join(', ')}`,
  );
  process.exit(2);
}
const version = simulatorVersion();
if (version === undefined) {
  console.error('ngspice is not installed; on Debian: apt-get install ngspice');
  process.exit(2);
}

const meter = meterOfAllModes(COMMON_HANDHELD);
if (golden) writeGolden(shippedBoards(), meter, version);
else process.exitCode = compareBoards() ? 0 : 1;

function compareBoards() {
  console.log(`${version}, ${pairs} pairs healthy and ${pairs} with faults, seed ${SEED}`);
  let agreed = 0;
  const failed = [];
  const boards = [...shippedBoards(), ...realBoards(REAL)];
  for (const each of boards.filter(({ name }) => names.length === 0 || names.includes(name))) {
    const run = runBoard(each, meter, pairs, SEED + known.indexOf(each.name));
    console.log(`\n${tableText(each, run, meter)}`);
    for (const result of run.results) {
      if (result.agrees) agreed += 1;
      else failed.push({ ...each, result });
    }
  }
  if (failed.length > 0) printFailures(failed);
  console.log(`\n${agreed} agreed, ${failed.length} failed`);
  return failed.length === 0;
}

function printFailures(failed) {
  const folder = mkdtempSync(join(tmpdir(), 'oracle-failed-'));
  failed.forEach(({ name, board, result }, k) => {
    reproduce(join(folder, `${k + 1}.cir`), name, board, result, meter);
    if (k < SHOWN_FAILURES)
      console.log(`${k === 0 ? '\n' : ''}${failureText(name, board, result)}`);
  });
  if (failed.length > SHOWN_FAILURES) console.log(`… and ${failed.length - SHOWN_FAILURES} more`);
  console.log(`\ndecks that reproduce them, for ngspice -b: ${folder}`);
}
