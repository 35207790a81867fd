// npm run bench -- drills [SEEDS] [RULES] [SLIPS] [ROWS] [BOARDS] [METER]: jobs played to the end on simulated boards,
// 1 to 4 hidden faults, by the tool, by the tool with a milliohm meter (`copper`) and by three simple rules,
// with the tool's survey or with a plain list of readings (`listed …`), beside the minutes of someone who
// knows the faults. ROWS is a file that takes each job as it ends; a run that was stopped goes on from there.
// METER is `beeper` for one that does nothing else, or a name of the catalogue. What the pins of ICs conduct on
// a sound board, drawn at random, is not told to the engine.

import { isMainThread, parentPort, workerData } from 'node:worker_threads';
import { COMMON_HANDHELD } from '../../dist/circuit/meter.js';
import { jobBoards } from './boards.mjs';
import { METERS, MILLIOHM_METER } from './copper-meter.mjs';
import { openBoard, playJob } from './play.mjs';
import { heldRows, playShares } from './shares.mjs';
import { drillTable, inColumns, ratioTable } from './tables.mjs';

const SIMPLE = ['likely', 'halving', 'pulling'];
const RULES = ['tool', 'copper', ...SIMPLE, ...SIMPLE.map((rule) => `listed ${rule}`)];
const BLOCK = 4;

function playShare({ seeds, rules, slipRatio, boards, meter: called, share, shares, held }) {
  const meter = meterCalled(called);
  const benches = boardsNamed(boards).map(({ name, board }) => {
    const fine = () => openBoard(board, { meter: MILLIOHM_METER });
    return {
      name,
      workbench: openBoard(board, { meter }),
      fine: rules.includes('copper') ? fine() : undefined,
    };
  });
  // In blocks of seeds, so that a run stopped early has the same seeds of every rule and board.
  for (let from = 0; from < seeds; from += BLOCK) {
    for (const rule of rules) {
      for (const { name, workbench, fine } of benches) {
        for (let seed = from + share; seed < Math.min(from + BLOCK, seeds); seed += shares) {
          if (held.has(keyOf({ board: name, rule, seed, meter: called }))) continue;
          const job = { seed, faults: 1 + (seed % 4), slipRatio, hasLoads: true };
          const result =
            rule === 'copper'
              ? playJob(fine, { ...job, rule: 'tool' })
              : playJob(workbench, { ...job, rule });
          parentPort.postMessage({ board: name, rule, seed, meter: called, ...result });
        }
      }
    }
  }
}

/** All that whole jobs are played on where none are named. */
function boardsNamed(names) {
  return jobBoards().filter(({ name }) => names === undefined || names.includes(name));
}

function keyOf({ board, rule, seed, meter }) {
  return `${board}/${rule}/${seed}/${meter}`;
}

const BEEPER = 'beeper';

function meterCalled(name) {
  const { continuity } = COMMON_HANDHELD.drives;
  if (name === BEEPER) return { ...COMMON_HANDHELD, name, drives: { continuity } };
  const meter = METERS.get(name);
  if (meter === undefined) throw new RangeError(`no meter "${name}"`);
  return meter;
}

if (isMainThread) {
  const [
    seedCount = '200',
    ruleNames = RULES.join(','),
    slips = '0',
    file,
    boardNames,
    meter = COMMON_HANDHELD.name,
  ] = process.argv.slice(2);
  const boards = boardNames?.split(',');
  const isWanted = ({ board, rule, seed, meter: by }) =>
    by === meter &&
    seed < seeds &&
    rules.includes(rule) &&
    (boards === undefined || boards.includes(board));
  const seeds = Number(seedCount);
  const rules = ruleNames.split(',');
  const earlier = heldRows(file, isWanted);
  const held = new Set(earlier.map(keyOf));
  const settings = { seeds, rules, slipRatio: Number(slips), boards, meter, held };
  const rows = await playShares(new URL(import.meta.url), settings, { held: earlier, file });
  const order = new Map(jobBoards().map(({ name }, k) => [name, k]));
  rows.sort(
    (x, y) =>
      order.get(x.board) - order.get(y.board) ||
      RULES.indexOf(x.rule) - RULES.indexOf(y.rule) ||
      x.seed - y.seed,
  );
  console.log(`drills: seeds 0 to ${seeds - 1}, wrong readings ${slips}, faults 1 to 4, ${meter}`);
  console.log(inColumns(drillTable(rows)));
  console.log(inColumns(ratioTable(rows)));
  const unclear = rows.filter((row) => !row.clear);
  for (const row of unclear)
    console.log(`not proven clear: ${row.board} seed ${row.seed} by ${row.rule}`);
  process.exitCode = unclear.some((row) => row.rule === 'tool') ? 1 : 0;
} else playShare(workerData);
