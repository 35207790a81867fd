import type { Board } from '../../board/model.ts';
import type { Cluster } from './boxes.ts';

/**
 * How far each net is from where power comes in, in boxes: fuses and connectors first, then what they
 * feed, returns last. Only sets what is drawn above what.
 */
export function levelsOf(
  board: Board,
  clusters: readonly Cluster[],
  joined: ReadonlySet<number>,
): ReadonlyMap<number, number> {
  const on = new Map<number, Cluster[]>();
  for (const cluster of clusters) {
    for (const net of cluster.nets) on.set(net, [...(on.get(net) ?? []), cluster]);
  }
  const minus = new Set(board.rails.map((rail) => rail.minus));
  const levels = new Map<number, number>();
  const reach = (start: number, at: number): void => {
    const queue: (readonly [number, number])[] = [[start, at]];
    for (let head = queue.shift(); head !== undefined; head = queue.shift()) {
      const [net, level] = head;
      if (levels.has(net)) continue;
      levels.set(net, level);
      // What lies beyond a return is reached from its own plus.
      if (minus.has(net) || !joined.has(net)) continue;
      for (const { nets } of on.get(net) ?? []) {
        for (const next of nets) if (!levels.has(next)) queue.push([next, level + 1]);
      }
    }
  };
  for (const net of startsOf(board, on)) reach(net, 0);
  for (const net of on.keys()) if (!minus.has(net)) reach(net, 0);
  const deepest = Math.max(0, ...levels.values());
  for (const net of minus) levels.set(net, deepest + 1);
  return levels;
}

/** Nets where power comes in: what a fuse has in common with a connector; else pluses of the rails. */
function startsOf(board: Board, on: ReadonlyMap<number, readonly Cluster[]>): number[] {
  const minus = new Set(board.rails.map((rail) => rail.minus));
  const has = (net: number, kind: string): boolean =>
    (on.get(net) ?? []).some(({ parts }) => parts.some((part) => part.kind.name === kind));
  const fed = [...on.keys()].filter(
    (net) => !minus.has(net) && has(net, 'connector') && has(net, 'fuse'),
  );
  return fed.length > 0 ? fed.slice(0, 1) : board.rails.slice(0, 1).map(({ plus }) => plus);
}
