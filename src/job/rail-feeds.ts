/** Which group of rails can feed which other, by the parts between them. */
import type { Board } from '../board/model.ts';
import { Heap } from '../faults/heap.ts';
import { type Hop, type HopKind, isCoil, isTrickle } from './feed-hops.ts';
import type { Group } from './rail-groups.ts';

/** How a rail gets its voltage from another. */
export type FeedKind =
  | 'converter'
  | 'regulator'
  | 'rectifier'
  | 'transformer'
  | 'switch'
  | 'resistor';

export interface Feed {
  /** Group numbers. */
  readonly from: number;
  readonly to: number;
  /** Parts on the way, from the feeding rail on; links, fuses and windings left out. */
  readonly through: readonly number[];
  readonly kind: FeedKind;
  /** True when a transformer parts the two sides. */
  readonly isApart: boolean;
  /** True when a diode keeps a voltage put on the fed rail from going back. */
  readonly blocksBack: boolean;
  /** False where the current could as well go the other way, or only trickles. */
  readonly isSure: boolean;
}

/** What the search goes over. */
export interface Land {
  readonly board: Board;
  readonly hops: readonly (readonly Hop[])[];
  readonly ground: ReadonlySet<number>;
  readonly groups: readonly Group[];
}

/** What a hop costs: the easiest way is the likeliest feed. */
const COST: Readonly<Record<HopKind, number>> = {
  link: 0.5,
  winding: 0.5,
  diode: 1,
  rectifier: 1,
  regulator: 1,
  converter: 2,
  transformer: 2,
  transistor: 4,
  resistor: 1.5,
};
const TRICKLE_COST = 12;
const FARTHEST = 16;

/** The last hop of the easiest way to a net, and the net before. */
interface Reached {
  readonly cost: number;
  readonly before: number;
  readonly hop?: Hop;
}

/** Every feed from one group straight to another, the easiest for each two. */
export function feedsOf(land: Land): Feed[] {
  const groupOf = new Map<number, number>();
  land.groups.forEach(({ nets }, at) => {
    for (const net of nets) groupOf.set(net, at);
  });
  return land.groups.flatMap((_, from) => feedsFrom(land, groupOf, from));
}

/** Dijkstra's search from the nets of a group; never through ground or a third group. */
function feedsFrom(land: Land, groupOf: ReadonlyMap<number, number>, from: number): Feed[] {
  const { board, hops, ground, groups } = land;
  const reached = new Map<number, Reached>();
  const open = new Heap<readonly [number, Reached]>();
  for (const net of groups[from]?.nets ?? []) open.push(0, [net, { cost: 0, before: -1 }]);
  const feeds = new Map<number, Feed>();
  for (let top = open.pop(); top !== undefined; top = open.pop()) {
    const [net, here] = top;
    if (reached.has(net)) continue;
    reached.set(net, here);
    const to = groupOf.get(net);
    if (to !== undefined && to !== from) {
      const feed = feeds.has(to) ? undefined : feedAlong(land, wayTo(reached, net), from, to);
      if (feed !== undefined) feeds.set(to, feed);
      continue;
    }
    for (const hop of hops[net] ?? []) {
      const part = board.parts[hop.part];
      const isSlow = part !== undefined && isTrickle(part);
      const cost = here.cost + (isSlow ? TRICKLE_COST : COST[hop.kind]);
      if (cost > FARTHEST || ground.has(hop.to) || reached.has(hop.to)) continue;
      open.push(-cost, [hop.to, { cost, before: net, hop }]);
    }
  }
  return [...feeds.values()];
}

function wayTo(reached: ReadonlyMap<number, Reached>, end: number): Hop[] {
  const way: Hop[] = [];
  for (let at = reached.get(end); at?.hop !== undefined; at = reached.get(at.before)) {
    way.unshift(at.hop);
  }
  return way;
}

function feedAlong(
  { board, groups }: Land,
  way: Hop[],
  from: number,
  to: number,
): Feed | undefined {
  const parts = way.flatMap(({ part }) => board.parts[part] ?? []);
  const kinds = new Set(way.map(({ kind }) => kind));
  const hasTrickle = parts.some(isTrickle);
  const hasCoil = parts.some(isCoil);
  if (hasTrickle && way.length > 2) return undefined;
  const kind = hasTrickle ? 'resistor' : kindOf(kinds, hasCoil);
  if (!isPossible(kind, hasCoil, groups[from], groups[to])) return undefined;
  const last = way.findLast((hop) => hop.kind !== 'link' && hop.kind !== 'resistor');
  const through = way.filter((hop) => hop.kind !== 'link' && hop.kind !== 'winding');
  return {
    from,
    to,
    through: [...new Set(through.map(({ part }) => part))],
    kind,
    isApart: kinds.has('transformer'),
    blocksBack: last?.kind === 'diode' || last?.kind === 'rectifier',
    isSure: !hasTrickle && kind !== 'switch' && !isTwoWay(kinds),
  };
}

function kindOf(kinds: ReadonlySet<HopKind>, hasCoil: boolean): FeedKind {
  if (kinds.has('transformer')) return 'transformer';
  if (kinds.has('converter') || (kinds.has('transistor') && hasCoil)) return 'converter';
  if (kinds.has('regulator')) return 'regulator';
  if (kinds.has('transistor')) return 'switch';
  if (kinds.has('rectifier') || kinds.has('diode')) return hasCoil ? 'converter' : 'rectifier';
  return kinds.has('resistor') ? 'resistor' : 'switch';
}

/** Transistors and coils alone carry current either way. */
function isTwoWay(kinds: ReadonlySet<HopKind>): boolean {
  const oneWay: readonly HopKind[] = ['converter', 'regulator', 'diode', 'rectifier'];
  return !oneWay.some((kind) => kinds.has(kind));
}

/** What the two voltages allow, where both are known: only coils and transformers raise one. */
function isPossible(kind: FeedKind, hasCoil: boolean, from?: Group, to?: Group): boolean {
  if (from?.volts === undefined || to?.volts === undefined) return true;
  const ratio = to.volts / from.volts;
  if (kind === 'transformer' || (kind === 'converter' && hasCoil)) return true;
  if (kind === 'rectifier') return ratio < (from.isMains ? 1.5 : 1.01);
  if (kind === 'switch') return ratio > 0.9 && ratio < 1.1;
  return ratio < 1;
}
