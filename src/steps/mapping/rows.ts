import type { MapProblem } from './problem.ts';

/** A pin this far off the line of those before, in steps of the row, begins a new row. */
const OFF_LINE = 0.5;

/**
 * Points that lie in a row, so that a strip of braid or a probe drawn along touches them all: the
 * pins of one part in list order, cut where its rows turn and where they are longer than asked.
 * Where no places are known, list order alone decides.
 */
export function rowsOf(problem: MapProblem, longest: number): readonly (readonly number[])[] {
  if (longest < 2) return [];
  return problem.parts.flatMap(({ points }) =>
    points.length < 4 ? [] : runs(problem, points).flatMap((run) => pieces(run, longest)),
  );
}

function runs(problem: MapProblem, points: readonly number[]): number[][] {
  const all: number[][] = [];
  let run: number[] = [];
  for (const point of points) {
    if (run.length > 0 && !continues(problem, run, point)) {
      all.push(run);
      run = [];
    }
    run.push(point);
  }
  return [...all, run].filter(({ length }) => length > 1);
}

function continues(problem: MapProblem, run: readonly number[], point: number): boolean {
  const place = (at: number | undefined) => (at === undefined ? undefined : problem.points[at]?.at);
  const last = place(run.at(-1));
  const before = place(run.at(-2));
  const next = place(point);
  if (last === undefined || next === undefined || before === undefined) return true;
  const [stepX, stepY] = [last[0] - before[0], last[1] - before[1]];
  const off = Math.hypot(next[0] - last[0] - stepX, next[1] - last[1] - stepY);
  return off <= OFF_LINE * Math.hypot(stepX, stepY) + 0.01;
}

/** In pieces as even as can be. */
function pieces(run: readonly number[], longest: number): number[][] {
  const count = Math.ceil(run.length / longest);
  return Array.from({ length: count }, (_, at) =>
    run.slice(Math.round((at * run.length) / count), Math.round(((at + 1) * run.length) / count)),
  ).filter(({ length }) => length > 1);
}
