// The planner's expectations counted from boards whose nets are known, as `figures.ts` states them.

import { MAP_FIGURES } from '../../dist/steps/mapping/figures.js';
import { sizesOf } from './map-board.mjs';

const SORTS = ['ground', 'rail', 'signal', 'alone'];
/** So many pins more, dealt out evenly: no share of few pins is taken at its word. */
const DOUBT = 20;

/** @param boards each with the net of every point, by name */
export function figuresFrom(boards) {
  const counts = new Map();
  const add = (key, sort) => {
    const list = counts.get(key) ?? SORTS.map(() => 0);
    list[SORTS.indexOf(sort)] += 1;
    counts.set(key, list);
  };
  for (const { problem, truth } of boards) {
    const sorts = sortsOf(problem, truth);
    for (const [point, { role, part }] of problem.points.entries()) {
      add(role, sorts[point]);
      const other = problem.parts[part].points.find((each) => each !== point);
      if (role !== 'bypass' || other === undefined) continue;
      add(sorts[other] === 'ground' ? 'besideGround' : 'besideOther', sorts[point]);
    }
  }
  const shareOf = (key, usual) => {
    const list = counts.get(key) ?? SORTS.map(() => 0);
    const whole = list.reduce((sum, count) => sum + count, DOUBT);
    return Object.fromEntries(
      SORTS.map((sort, k) => [sort, (list[k] + DOUBT * usual[sort]) / whole]),
    );
  };
  const { shares } = MAP_FIGURES;
  return {
    ...MAP_FIGURES,
    shares: Object.fromEntries(Object.keys(shares).map((role) => [role, shareOf(role, FLAT)])),
    besideGround: shareOf('besideGround', FLAT),
    besideOther: shareOf('besideOther', FLAT),
    open: openFrom(boards),
  };
}

/** Known of nothing. */
const FLAT = { ground: 0.25, rail: 0.25, signal: 0.45, alone: 0.05 };

function sortsOf(problem, truth) {
  const sizes = sizesOf(truth);
  const ground = truth[problem.ground];
  return truth.map((net) => {
    if (net === ground) return 'ground';
    const size = sizes.get(net);
    return size >= MAP_FIGURES.railPoints ? 'rail' : size > 1 ? 'signal' : 'alone';
  });
}

/** Of signals met with so many points, the share that has more. */
function openFrom(boards) {
  const sizes = boards
    .flatMap(({ truth }) => [...sizesOf(truth).values()])
    .filter((size) => size > 1 && size < MAP_FIGURES.railPoints);
  return MAP_FIGURES.open.map((_, at) => {
    const met = sizes.filter((size) => size > at);
    return met.filter((size) => size > at + 1).length / Math.max(1, met.length);
  });
}
