// Where the parts of a rail stand: taken from real boards while the benchmark runs, or at random.
import { realBoard } from './boards.mjs';

const REAL = [
  'minnow-v1',
  'duet2',
  'blus-mini-mk2',
  'open-motion-light',
  'vesc-bldc4',
  'libresolar-mppt',
  'dcdc-rtc',
  'libresolar-bms',
];
const GAP = 4; // mm between a board and its copy beside it

const known = new Map();

/**
 * Pads of two-pin parts between a rail and the return.
 * @returns `name` of the placement, and `pads`: for each part, mm of its pad on the rail and on the return
 */
export function placesOf(kind, count, seed, next) {
  const name = kind === 'real' ? REAL[seed % REAL.length] : 'random';
  const real = kind === 'real' ? realPads(name) : undefined;
  return real === undefined
    ? { name: 'random', pads: randomPads(count, next) }
    : { name, pads: tiled(real, count, next) };
}

/** Pads of all two-pin parts to the busiest net, those of the rail with most of them first. */
function realPads(name) {
  if (!known.has(name)) known.set(name, readPads(name));
  return known.get(name);
}

function readPads(name) {
  const board = realBoard(name)?.board;
  if (board === undefined) return undefined;
  const back = board.nets.reduce((a, b) => (b.pins.length > a.pins.length ? b : a)).index;
  const byRail = new Map();
  for (const { pins } of board.parts) {
    if (pins.length !== 2) continue;
    const [minus, plus] = pins
      .map((pin) => board.pins[pin])
      .sort((p, q) => (q.net === back) - (p.net === back));
    if (minus.net !== back || plus.net === back || !plus.at || !minus.at) continue;
    byRail.set(plus.net, [...(byRail.get(plus.net) ?? []), [plus.at, minus.at]]);
  }
  return [...byRail.values()].sort((p, q) => q.length - p.length).flat();
}

/** As many as asked for: some of them, or copies of the board beside itself. */
function tiled(pads, count, next) {
  const xs = pads.flat().map(([x]) => x);
  const width = Math.max(...xs) - Math.min(...xs) + GAP;
  const found = [];
  for (let copy = 0; found.length < count; copy++) {
    const own = pads.map((pair) => pair.map(([x, y]) => [round(x + copy * width), y]));
    const wanted = count - found.length;
    if (own.length > 2 * wanted) own.splice(2 * wanted); // the largest rails
    while (own.length > wanted) own.splice(Math.floor(next() * own.length), 1);
    found.push(...own);
  }
  return found;
}

/** One part for every 80 mm², none nearer than 2 mm to the next. */
function randomPads(count, next) {
  const [width, height] = [Math.sqrt(100 * count), Math.sqrt(64 * count)];
  const found = [];
  while (found.length < count) {
    const [x, y] = [width * next(), height * next()];
    if (found.some(([[p, q]]) => Math.hypot(p - x, q - y) < 2)) continue;
    const turn = Math.floor(4 * next()) * (Math.PI / 2);
    const far = [x + Math.cos(turn), y + Math.sin(turn)];
    found.push([[round(x), round(y)], far.map(round)]);
  }
  return found;
}

function round(mm) {
  return Math.round(mm * 100) / 100;
}
