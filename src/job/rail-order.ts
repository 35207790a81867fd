/**
 * In which order the rails of a board come up: where power comes in, and what feeds every other
 * rail. A guess from kinds, pin names and voltages; what it cannot tell it leaves open.
 */
import type { Board } from '../board/model.ts';
import { feedHops } from './feed-hops.ts';
import { type Feed, type FeedKind, feedsOf, type Land } from './rail-feeds.ts';
import { type Group, groundNets, groupsOf, liveNet } from './rail-groups.ts';

/** A group of rails and where its voltage comes from; with neither input nor feed: not known. */
export interface FedGroup extends Group {
  readonly isInput: boolean;
  /** Connectors that bring power in, when it is an input. */
  readonly plugs: readonly number[];
  readonly feed?: Feed;
}

/** Groups in file order of their first rail. */
export function fedGroups(board: Board): FedGroup[] {
  const live = new Set(board.rails.map((rail) => liveNet(board, rail)));
  const ground = groundNets(board);
  const hops = feedHops(board, live);
  const groups = groupsOf(board, hops, ground);
  const land = { board, hops, ground, groups };
  const entries = groups.map((group) => entryOf(land, group));
  const { inputs, feedOf } = chooseInputs(feedsOf(land), entries);
  return groups.map((group, at) => {
    const feed = feedOf.get(at);
    const isInput = inputs.has(at);
    const plugs = isInput ? (entries[at]?.plugs ?? []) : [];
    return { ...group, isInput, plugs, ...(feed === undefined ? {} : { feed }) };
  });
}

/** How much a group looks like one that power is brought to from outside. */
interface Entry {
  readonly score: number;
  /** Connectors on it that reach ground too, else all of them. */
  readonly plugs: readonly number[];
}

const NO_ENTRY: Entry = { score: Number.NEGATIVE_INFINITY, plugs: [] };
const INPUT_NAME =
  /(^|[^a-z])(v?in|input|bat(tery)?|supply|mains|line|bus|pack|dc|ac)\d*([^a-z]|$)|_in\b|vbat|vin\b|^ac/i;
const OUTPUT_NAME = /out|load|fan|motor|brake|led|lamp|heater|bed/i;
/** A second input needs a fuse or a telling name beside its connector. */
const SECOND_INPUT_SCORE = 6;
/** What a sure feed from another rail takes from it. */
const FED_SCORE = 4;

function entryOf({ board, ground }: Land, { rails, reach, isMains, volts }: Group): Entry {
  const lives = rails.flatMap((rail) => {
    const known = board.rails[rail];
    return known === undefined ? [] : [liveNet(board, known)];
  });
  const touches = (part: number, within: ReadonlySet<number>): boolean =>
    (board.parts[part]?.pins ?? []).some((pin) => within.has(board.pins[pin]?.net ?? -1));
  const on = board.parts.filter(({ index }) => touches(index, reach));
  const plugs = on.filter(({ kind }) => kind.name === 'connector').map(({ index }) => index);
  if (plugs.length === 0) return NO_ENTRY;
  const withReturn = plugs.filter((plug) => touches(plug, ground));
  const names = rails.map((rail) => board.rails[rail]?.name ?? '');
  const texts = [...names, ...lives.map((net) => board.nets[net]?.name ?? '')];
  const score =
    (isMains ? 10 : 0) +
    (texts.some((text) => INPUT_NAME.test(text)) ? 4 : 0) -
    (names.every((text) => OUTPUT_NAME.test(text)) ? 4 : 0) +
    (withReturn.length > 0 ? 2 : 0) +
    (on.some(({ kind }) => kind.name === 'fuse') ? 3 : 0) +
    Math.min(2, Math.log10(1 + (volts ?? 0)));
  // The fewer nets a connector has, the likelier it is there for power alone.
  const netCount = (plug: number): number =>
    new Set(board.parts[plug]?.pins.map((pin) => board.pins[pin]?.net)).size;
  const likely = withReturn.length > 0 ? withReturn : plugs;
  return { score, plugs: [...likely].sort((a, b) => netCount(a) - netCount(b)) };
}

/** A feed that is in doubt counts as farther, so that a surer way round it is taken. */
const DISTANCE: Readonly<Record<FeedKind, number>> = {
  rectifier: 1,
  regulator: 1,
  converter: 1,
  transformer: 1.5,
  switch: 5,
  resistor: 20,
};
const DOUBT = 4;

/**
 * What looks most like an input is one, less so where another rail surely feeds it; whatever it does
 * not lead to is tried next. The rest hangs on rails whose feed is not known.
 */
function chooseInputs(
  feeds: readonly Feed[],
  entries: readonly Entry[],
): { inputs: ReadonlySet<number>; feedOf: ReadonlyMap<number, Feed> } {
  const fed = new Set(feeds.filter(({ isSure }) => isSure).map(({ to }) => to));
  const known: Known = { distance: new Map(), feedOf: new Map(), roots: new Set() };
  const scores = entries.map(({ score }, at) => score - (fed.has(at) ? FED_SCORE : 0));
  const order = entries.map((_, at) => at).sort((a, b) => descending(scores[a], scores[b]));
  const inputs = new Set<number>();
  for (const at of order) {
    const isLikely = (entries[at]?.score ?? 0) >= SECOND_INPUT_SCORE;
    if (known.distance.has(at) || (inputs.size > 0 && !isLikely)) continue;
    inputs.add(at);
    startFrom(at, feeds, known);
  }
  const unfed = [...order].sort((a, b) => Number(fed.has(a)) - Number(fed.has(b)));
  for (const at of unfed) if (!known.distance.has(at)) startFrom(at, feeds, known);
  return { inputs, feedOf: known.feedOf };
}

function descending(a: number | undefined, b: number | undefined): number {
  return a === b ? 0 : (b ?? 0) - (a ?? 0);
}

interface Known {
  readonly distance: Map<number, number>;
  readonly feedOf: Map<number, Feed>;
  readonly roots: Set<number>;
}

/** Takes a group as fed from outside, and works out what it feeds: Bellman and Ford's relaxation. */
function startFrom(root: number, feeds: readonly Feed[], known: Known): void {
  const { distance, feedOf, roots } = known;
  roots.add(root);
  distance.set(root, 0);
  for (let changed = true; changed; ) {
    changed = false;
    for (const feed of feeds) {
      const here = distance.get(feed.from);
      if (here === undefined || roots.has(feed.to)) continue;
      const there = here + DISTANCE[feed.kind] + (feed.isSure ? 0 : DOUBT);
      if (there >= (distance.get(feed.to) ?? Number.POSITIVE_INFINITY)) continue;
      distance.set(feed.to, there);
      feedOf.set(feed.to, feed);
      changed = true;
    }
  }
}
