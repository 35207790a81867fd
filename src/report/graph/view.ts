import { InputError } from '../../board/diagnostic.ts';
import type { Board } from '../../board/model.ts';
import { harmless } from '../../board/shown-text.ts';
import { formatVolts } from '../../board/units.ts';
import { netName, partName, partNames } from '../names.ts';
import { counted } from '../words.ts';
import { type Cluster, clustersOf, countsOf, textsOf } from './boxes.ts';
import { levelsOf } from './levels.ts';
import type { GraphBox, GraphLine, GraphNet, GraphView } from './model.ts';
import { neighbourhood, type Seed } from './near.ts';
import { powerSide } from './power-side.ts';

/** With more boxes nobody reads a drawing. */
const MOST_BOXES = 110;
/** A net with more boxes on it is told by name in each of them. */
const MOST_LINES = 9;

/**
 * The board's power nets with the parts and jumpers between them; or what lies round one part or net.
 * @throws {InputError} when that is more than a drawing can show
 */
export function viewGraph(board: Board, seed?: Seed): GraphView {
  const drawn = seed === undefined ? powerSide(board) : neighbourhood(board, seed);
  const alone = seed !== undefined && 'part' in seed ? seed.part : undefined;
  const asked = seed !== undefined && 'net' in seed ? seed.net : undefined;
  const clusters = clustersOf(board, drawn.parts, drawn.nets, alone);
  if (clusters.length > MOST_BOXES) throw tooLarge(board, clusters.length, seed);
  const counts = countsOf(clusters);
  const bars = new Set(
    [...counts].flatMap(([net, count]) => (count > 1 || net === asked ? [net] : [])),
  );
  const byName = namedNets(board, counts, seed);
  const joined = new Set([...bars].filter((net) => !byName.has(net)));
  const levels = levelsOf(board, clusters, joined);
  const boxes = clusters.map((cluster, id) => viewBox(board, cluster, id, joined, alone));
  return {
    board: harmless(board.name),
    ...(seed === undefined ? {} : { near: seedText(board, seed) }),
    nets: [...bars].map((net) => viewNet(board, net, byName.has(net), net === asked)),
    boxes,
    lines: clusters.flatMap((cluster, box) => linesOf(cluster, box, joined, levels)),
    left: {
      parts: board.parts.length - drawn.parts.size,
      nets: board.nets.length - new Set([...bars, ...clusters.flatMap(namedIn(joined))]).size,
    },
  };
}

const seedText = (board: Board, seed: Seed): string =>
  'part' in seed ? partName(board, seed.part) : netName(board, seed.net);

/** Ground, mostly: lines to it from everywhere would hide all others. */
function namedNets(
  board: Board,
  counts: ReadonlyMap<number, number>,
  seed: Seed | undefined,
): ReadonlySet<number> {
  const minus = new Set(board.rails.map((rail) => rail.minus));
  const kept = new Set(keptOf(board, seed, minus));
  const most = (net: number): number => (minus.has(net) ? MOST_LINES - 4 : MOST_LINES);
  return new Set(
    [...counts].flatMap(([net, count]) => (!kept.has(net) && count > most(net) ? [net] : [])),
  );
}

/** What was asked for keeps its lines: a net, or those of a part but ground. */
function keptOf(board: Board, seed: Seed | undefined, minus: ReadonlySet<number>): number[] {
  if (seed === undefined) return [];
  if ('net' in seed) return [seed.net];
  const pins = board.parts[seed.part]?.pins ?? [];
  return pins.map((pin) => board.pins[pin]?.net ?? -1).filter((net) => !minus.has(net));
}

/** A chip with hundreds of pins tells no more nets than this that nothing else drawn is on. */
const MOST_NAMED = 8;

/** Nets that a box tells by name, as no line goes there. */
const namedIn =
  (joined: ReadonlySet<number>) =>
  ({ nets }: Cluster): number[] =>
    nets.filter((net) => !joined.has(net)).slice(0, MOST_NAMED);

function viewNet(board: Board, net: number, byName: boolean, asked: boolean): GraphNet {
  const rails = board.rails.filter(({ plus }) => plus === net);
  const isReturn = board.rails.some(({ minus }) => minus === net);
  const texts = rails.map(({ name, volts }) =>
    [harmless(name), ...(volts === undefined ? [] : [formatVolts(volts)])].join(', '),
  );
  const rail = texts.length > 0 ? texts.join('; ') : isReturn ? 'return' : undefined;
  const base = { id: net, name: netName(board, net), byName, asked };
  return rail === undefined ? base : { ...base, rail };
}

function viewBox(
  board: Board,
  cluster: Cluster,
  id: number,
  joined: ReadonlySet<number>,
  alone: number | undefined,
): GraphBox {
  const parts = cluster.parts.map(({ index }) => index);
  const named = namedIn(joined)(cluster).map((net) => {
    const pins = cluster.pins.get(net);
    return `${pins === undefined ? 'to' : `${pins}:`} ${netName(board, net)}`;
  });
  const rest = cluster.nets.filter((net) => !joined.has(net)).length - named.length;
  return {
    id,
    parts: partNames(board, parts),
    what: cluster.what,
    texts: textsOf(board, cluster),
    named: rest > 0 ? [...named, `and ${counted(rest, 'net')} more`] : named,
    asked: alone !== undefined && parts.includes(alone),
  };
}

function linesOf(
  { nets, pins }: Cluster,
  box: number,
  joined: ReadonlySet<number>,
  levels: ReadonlyMap<number, number>,
): GraphLine[] {
  const shown = nets.filter((net) => joined.has(net));
  const level = (net: number): number => levels.get(net) ?? 0;
  const top = Math.min(...shown.map(level));
  // Two nets of one level: the first pin's stands above.
  const [first] = shown.filter((net) => level(net) === top);
  return shown.map((net) => {
    const names = pins.get(net);
    const down = level(net) === top && (shown.length !== 2 || net === first);
    return { box, net, ...(names === undefined ? {} : { pins: names }), down };
  });
}

function tooLarge(board: Board, boxes: number, seed: Seed | undefined): InputError {
  const widest = board.rails[0] === undefined ? undefined : netName(board, board.rails[0].plus);
  const message =
    seed === undefined
      ? `the power nets of this board have ${boxes} boxes of parts on them, more than one drawing can show (${MOST_BOXES})`
      : `round ${seedText(board, seed)} there are ${boxes} boxes of parts, more than one drawing can show (${MOST_BOXES})`;
  const example = seed === undefined && widest !== undefined ? `, e.g. --near ${widest}` : '';
  const hint = `name a part or a smaller net to draw round: --near NAME${example}`;
  return new InputError([{ code: 'TOO_LARGE', severity: 'error', message, hint }]);
}
