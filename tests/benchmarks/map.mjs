// npm run bench -- map [BOARDS] [KNOWN] [WRONG] [SHARES]: the nets of the real boards in ../shared/boards
// hidden behind a simulated beeper, recovered by the planner of `map`. BOARDS are names with commas, `all`,
// `most` (all but the largest) or `shipped` (those of boards/); KNOWN is `places`, `parts` (a bill of
// materials, no places), `pins` (names alone); WRONG is the share of answers that are wrong; SHARES is `tool`,
// or `others`: on which sort of net a pin is expected is counted anew from the other real boards. The planner
// is told one point of ground.
//
// The plain way: every pin against every net found so far, in list order, until one beeps. The bound
// is log2 of the ways to deal the pins out to nets of the sizes they really have: readings that someone
// needs who knows how many nets of which size there are, and nothing else.

import { existsSync } from 'node:fs';
import { Random } from '../../dist/bench/random.js';
import { MAP_FIGURES } from '../../dist/steps/mapping/figures.js';
import { NetMap } from '../../dist/steps/mapping/net-map.js';
import { SweepPlanner } from '../../dist/steps/mapping/next-sweep.js';
import { boardOf, FOLDER, SHIPPED, sizesOf } from './map-board.mjs';
import { figuresFrom } from './map-shares.mjs';
import { inColumns } from './tables.mjs';

const MOST = [
  'one-inch-laser',
  'open-motion-light',
  'vesc-bldc4',
  'libresolar-mppt',
  'dcdc-rtc',
  'libresolar-bms',
  'blus-mini-mk2',
  'duet2',
];
const ALL = [...MOST, 'minnow-v1'];
const GROUPS = { most: MOST, all: ALL, shipped: SHIPPED };

const [boards = 'most', known = 'places', wrong = '0', shares = 'tool'] = process.argv.slice(2);
if (boards !== 'shipped' && !existsSync(FOLDER)) {
  console.log('map: left out, as ../shared/boards is not there');
} else {
  const rows = (GROUPS[boards] ?? boards.split(',')).map((name) =>
    rowOf(name, known, Number(wrong), figuresFor(name)),
  );
  console.log(`map, known: ${known}; wrong answers: ${wrong}; shares: ${shares}`);
  console.log(inColumns([HEAD(), ...rows.map(cellsOf)]));
  const sum = (key) => rows.reduce((all, row) => all + row[key], 0);
  const mean = rows.reduce((all, row) => all + row.readings / row.plain, 0) / rows.length;
  console.log(
    `all: ${sum('readings')} readings, ${(sum('readings') / sum('plain')).toFixed(2)} of the plain way; mean of the boards ${mean.toFixed(2)}`,
  );
}

/** The tool's, or with the shares of the other real boards alone. */
function figuresFor(name) {
  if (shares !== 'others') return MAP_FIGURES;
  const others = ALL.filter((each) => each !== name);
  return figuresFrom(others.map((each) => boardOf(each, known)));
}

function HEAD() {
  return 'board|pins|nets|plain|bound|readings|of plain|x bound|pads|keys|min|plain min|pins right|ms opening|ms a step|slowest'.split(
    '|',
  );
}

function cellsOf(row) {
  return [
    row.name,
    row.pins,
    row.nets,
    row.plain,
    row.bound,
    row.readings,
    (row.readings / row.plain).toFixed(2),
    (row.readings / row.bound).toFixed(1),
    row.pads,
    row.keys,
    row.minutes,
    row.plainMinutes,
    `${(100 * row.right).toFixed(1)} %`,
    row.opening.toFixed(0),
    middle(row.steps).toFixed(1),
    Math.max(...row.steps).toFixed(0),
  ].map(String);
}

function rowOf(name, known, wrong, figures) {
  const { problem, truth } = boardOf(name, known);
  const plain = plainWay(truth);
  const played = play(problem, truth, wrong, figures);
  return {
    name,
    pins: truth.length,
    nets: plain.nets,
    plain: plain.readings,
    plainMinutes: Math.round(plain.seconds / 60),
    bound: Math.round(bitsOf(truth)),
    ...played,
  };
}

function middle(list) {
  return [...list].sort((a, b) => a - b)[list.length >> 1];
}

/** Processor time of this process so far, ms. */
function spent() {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

function play(problem, truth, wrong, figures) {
  let since = spent();
  const map = new NetMap(problem, figures);
  for (const { lowOhm } of problem.parts) {
    for (const [a, b] of lowOhm) map.join(map.netOf(a), map.netOf(b));
  }
  const planner = new SweepPlanner(map);
  const random = new Random(1);
  const { holdSeconds, touchSeconds, keySeconds } = MAP_FIGURES;
  const counts = { readings: 0, pads: 0, keys: 0 };
  let seconds = 0;
  let held = -1;
  const steps = [];
  const lap = () => {
    const now = spent();
    const taken = now - since;
    since = now;
    return taken;
  };
  let sweep = planner.next();
  const opening = lap();
  while (sweep !== undefined) {
    const hold = sweep.hold;
    if (hold !== held) seconds += holdSeconds;
    held = hold;
    let beeped;
    for (const [at, { points }] of sweep.touch.entries()) {
      counts.readings += 1;
      counts.pads += points.length;
      // A strip takes a moment to lay; then it is one touch.
      seconds += touchSeconds * (points.length > 1 ? 1.5 : 1);
      const isBeep = points.some((point) => truth[point] === truth[hold]);
      if (isBeep === random.next() >= wrong) {
        beeped = at;
        break;
      }
    }
    counts.keys += 1;
    seconds += keySeconds;
    planner.take(sweep, beeped);
    sweep = planner.next();
    steps.push(lap());
  }
  return {
    ...counts,
    minutes: Math.round(seconds / 60),
    right: rightShare(map, truth),
    opening,
    steps,
  };
}

/** Pins that lie on the net that holds most of their true net, each net found standing for one. */
function rightShare(map, truth) {
  const groups = new Map();
  for (const [point, net] of truth.entries()) groups.set(net, [...(groups.get(net) ?? []), point]);
  const taken = new Set();
  let right = 0;
  for (const points of [...groups.values()].sort((a, b) => b.length - a.length)) {
    const counts = sizesOf(points.map((point) => map.netOf(point)));
    const [best] = [...counts].filter(([net]) => !taken.has(net)).sort((a, b) => b[1] - a[1]);
    if (best === undefined) continue;
    taken.add(best[0]);
    right += best[1];
  }
  return right / truth.length;
}

function plainWay(truth) {
  const { holdSeconds, touchSeconds, keySeconds } = MAP_FIGURES;
  const found = [];
  let readings = 0;
  for (const net of truth) {
    const at = found.indexOf(net);
    readings += at < 0 ? found.length : at + 1;
    if (at < 0) found.push(net);
  }
  const seconds = truth.length * (holdSeconds + keySeconds) + readings * touchSeconds;
  return { readings, nets: found.length, seconds };
}

function bitsOf(truth) {
  const factorial = (n) =>
    Array.from({ length: n }, (_, k) => Math.log2(k + 1)).reduce((a, b) => a + b, 0);
  const sizes = [...sizesOf(truth).values()];
  const alike = [...sizesOf(sizes).values()];
  const sum = (list) => list.reduce((all, each) => all + factorial(each), 0);
  return factorial(truth.length) - sum(sizes) - sum(alike);
}
