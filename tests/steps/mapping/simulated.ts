import { MAP_FIGURES, type MapFigures } from '../../../src/steps/mapping/figures.ts';
import { NetMap } from '../../../src/steps/mapping/net-map.ts';
import { type Sweep, SweepPlanner } from '../../../src/steps/mapping/next-sweep.ts';
import type { MapProblem, PointRole } from '../../../src/steps/mapping/problem.ts';

/** A board whose nets are hidden: of every point, which net it is on. */
export interface HiddenBoard {
  readonly problem: MapProblem;
  readonly truth: readonly number[];
}

/** Parts of two legs on different nets, and chips, at random places; nothing of low ohms. */
export function randomBoard(seed: number, nets: number, parts: number): HiddenBoard {
  let state = seed * 2654435761 + 1;
  const dice = (sides: number): number => {
    state = (Math.imul(state, 1103515245) + 12345) & 0x7fffffff;
    return (state >> 8) % sides;
  };
  const points: MapProblem['points'][number][] = [];
  const list: MapProblem['parts'][number][] = [];
  const truth: number[] = [];
  for (let part = 0; part < parts; part++) {
    const isChip = dice(5) === 0;
    const place = [dice(100), dice(60)] as const;
    const first = points.length;
    const count = isChip ? 4 + dice(8) : 2;
    const own: number[] = [];
    for (let pin = 0; pin < count; pin++) {
      let net = dice(3) === 0 ? 0 : dice(nets);
      while (!isChip && own.includes(net)) net = dice(nets);
      own.push(net);
      truth.push(net);
      const role: PointRole = isChip ? 'leg' : dice(2) === 0 ? 'bypass' : 'end';
      const at = [place[0] + pin, place[1]] as const;
      points.push({ name: `P${part}.${pin}`, part, role, at });
    }
    const numbers = own.map((_, pin) => first + pin);
    list.push({ name: `P${part}`, points: numbers, isApart: !isChip, lowOhm: [] });
  }
  return { problem: { points, parts: list }, truth };
}

/** Asks to the end, or for so many answers; a meter that never errs answers. */
export function play(
  { problem, truth }: HiddenBoard,
  figures: Partial<MapFigures> = {},
  onStep: (sweep: Sweep, map: NetMap) => void = () => {},
): NetMap {
  const map = new NetMap(problem, { ...MAP_FIGURES, ...figures });
  const planner = new SweepPlanner(map);
  for (let answers = 0; answers < 100_000; answers++) {
    const sweep = planner.next();
    if (sweep === undefined) return map;
    onStep(sweep, map);
    planner.take(sweep, answerOf(truth, sweep));
  }
  throw new Error('the planner never ends');
}

/** The first contact of a sweep that beeps. */
export function answerOf(truth: readonly number[], sweep: Sweep): number | undefined {
  const at = sweep.touch.findIndex(({ points }) =>
    points.some((point) => truth[point] === truth[sweep.hold]),
  );
  return at < 0 ? undefined : at;
}

/** The points in groups, each in order, to compare partitions. */
export function groupsOf(map: NetMap): string {
  const groups = map.nets().map((net) => map.pointsOf(net).toSorted((a, b) => a - b));
  return JSON.stringify(groups.toSorted((a, b) => (a[0] ?? 0) - (b[0] ?? 0)));
}

export function hiddenGroups({ truth }: HiddenBoard): string {
  const groups = new Map<number, number[]>();
  for (const [point, net] of truth.entries()) groups.set(net, [...(groups.get(net) ?? []), point]);
  return JSON.stringify([...groups.values()].toSorted((a, b) => (a[0] ?? 0) - (b[0] ?? 0)));
}
