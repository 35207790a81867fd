import type { MapSession } from './session.ts';

/** A net as it goes into the board file. */
export interface MappedNet {
  readonly name: string;
  /** Point numbers. */
  readonly points: readonly number[];
  /** `unread`: a point whose net is still to be found; `alone`: one that nothing was found joined to. */
  readonly state: 'joined' | 'unread' | 'alone';
}

/** What low-ohm parts left undecided. */
export interface LowOhmDoubt {
  /** Parts that join their nets on a healthy board, all on what reads as one net. */
  readonly parts: readonly string[];
  /** Number of the nets told apart by what an eye saw; 1: nothing tells. */
  readonly nets: number;
  readonly points: number;
}

export interface MappedNets {
  readonly nets: readonly MappedNet[];
  /** By point number, its place in `nets`. */
  readonly netOf: readonly number[];
  readonly lowOhm: readonly LowOhmDoubt[];
  /** Names given to what reads as one net. */
  readonly sameNet: readonly (readonly string[])[];
  /** Parts that lie on one net with points that should be apart. */
  readonly bridged: readonly string[];
  /** No pair is left that is worth a touch. */
  readonly isFinished: boolean;
}

/** The nets as far as they are known, with every part counted as lifted that once was. */
export function mappedNets(session: MapSession): MappedNets {
  const fine = session.under(session.told.everLifted);
  const { map, problem } = fine;
  const isFinished = fine.next() === undefined;
  const namesOf = namesByPoint(fine);
  const groups = map.nets().map((net) => map.pointsOf(net).toSorted((a, b) => a - b));
  groups.sort((a, b) => (a[0] ?? 0) - (b[0] ?? 0));
  const lowOhm: LowOhmDoubt[] = [];
  const sameNet: string[][] = [];
  const pieces = groups.flatMap((points) => {
    const parts = problem.parts.filter(({ lowOhm: pairs }) =>
      pairs.some(([from]) => points.includes(from)),
    );
    if (parts.length === 0) return [points];
    // Nothing but the two legs of one part: neither side was met yet.
    if (points.length === 2 && parts.length === 1) return points.map((point) => [point]);
    const split = bySight(fine, points);
    lowOhm.push({
      parts: parts.map(({ name }) => name),
      nets: split.length,
      points: points.length,
    });
    return split;
  });
  const taken = new Set<string>(namesOf.values());
  let number = 0;
  const fresh = (): string => {
    for (;;) {
      number += 1;
      const name = `N${String(number).padStart(3, '0')}`;
      if (!taken.has(name)) return name;
    }
  };
  const nets = pieces.map((points): MappedNet => {
    const given = [...new Set(points.flatMap((point) => namesOf.get(point) ?? []))];
    if (given.length > 1) sameNet.push(given);
    const [name] = given;
    const state =
      points.length > 1 || name !== undefined ? 'joined' : isFinished ? 'alone' : 'unread';
    if (name !== undefined) return { name, points, state };
    const own =
      points.length === 1 ? loneName(problem.points[points[0] ?? 0]?.name ?? '', state) : fresh();
    return { name: own, points, state };
  });
  const netOf = new Array<number>(problem.points.length).fill(-1);
  for (const [at, { points }] of nets.entries()) for (const point of points) netOf[point] = at;
  return { nets, netOf, lowOhm, sameNet, bridged: bridgedParts(fine), isFinished };
}

/** Given by a person, by the list, and to ground. */
function namesByPoint(session: MapSession): Map<number, string> {
  const names = new Map<number, string>();
  const { ground, netNames } = session.told;
  const listed = session.list.parts.flatMap(({ pins }) => pins.map(({ net }) => net));
  for (const [point, net] of listed.entries()) if (net !== undefined) names.set(point, net);
  if (ground !== undefined && !names.has(ground) && !netNames.has(ground)) names.set(ground, 'GND');
  for (const [point, net] of netNames) names.set(point, net);
  return names;
}

/**
 * The nets that low-ohm parts join, as an eye saw them: only where what was seen takes in every
 * point, each piece with a leg of such a part and something beside it.
 */
function bySight(session: MapSession, points: readonly number[]): number[][] {
  const up = new Map(points.map((point) => [point, point]));
  const find = (point: number): number => {
    let at = point;
    while (up.get(at) !== at) at = up.get(at) ?? at;
    return at;
  };
  for (const [one = -1, ...others] of session.told.joined) {
    if (!up.has(one)) continue;
    for (const other of others) if (up.has(other)) up.set(find(other), find(one));
  }
  const pieces = new Map<number, number[]>();
  for (const point of points) pieces.set(find(point), [...(pieces.get(find(point)) ?? []), point]);
  const legs = new Set(session.problem.parts.flatMap(({ lowOhm }) => lowOhm.flat()));
  const isTold = [...pieces.values()].every(
    (piece) => piece.length > 1 && piece.some((point) => legs.has(point)),
  );
  return isTold ? [...pieces.values()] : [[...points]];
}

function bridgedParts({ map, problem }: MapSession): string[] {
  return problem.parts
    .filter(
      ({ isApart, points }) =>
        isApart && new Set(points.map((point) => map.netOf(point))).size < points.length,
    )
    .map(({ name }) => name);
}

/** A name with signs would say more than is known: `+` at its end is taken for a supply. */
function loneName(point: string, state: 'joined' | 'unread' | 'alone'): string {
  const plain = point
    .replace(/\+/g, 'plus')
    .replace(/-$/, 'minus')
    .replace(/[^\w-]/gu, '_');
  return state === 'alone' ? `NC_${plain}` : `unread_${plain}`;
}
