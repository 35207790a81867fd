import type { Board, Part } from './model.ts';

/**
 * Nets in groups that hang together through healthy resistances, windings and junctions; each
 * group in ascending order, groups by their first net.
 */
export function netGroups(board: Board): number[][] {
  const parent = board.nets.map((net) => net.index);
  const find = (net: number): number => {
    let root = net;
    while (parent[root] !== root) root = parent[root] ?? root;
    // Flatten the way walked, so that long chains stay cheap.
    for (let at = net; at !== root; ) {
      const next = parent[at] ?? root;
      parent[at] = root;
      at = next;
    }
    return root;
  };
  for (const part of board.parts) {
    for (const [a, b] of healthyPairs(board, part)) parent[find(a)] = find(b);
  }
  const groups = new Map<number, number[]>();
  for (const { index } of board.nets) {
    const root = find(index);
    const group = groups.get(root);
    if (group) group.push(index);
    else groups.set(root, [index]);
  }
  return [...groups.values()];
}

/** Pairs of nets joined by a healthy part in any way a meter can see. */
function healthyPairs(board: Board, part: Part): [number, number][] {
  const netOf = new Map(part.pins.map((pin) => [board.pins[pin]?.name, board.pins[pin]?.net]));
  const pairs: [number, number][] = [];
  const add = (a: number | undefined, b: number | undefined): void => {
    if (a !== undefined && b !== undefined) pairs.push([a, b]);
  };
  for (const spec of part.kind.healthy) {
    if (spec.element === 'junction') add(netOf.get(spec.from), netOf.get(spec.to));
    else add(netOf.get(spec.between[0]), netOf.get(spec.between[1]));
  }
  for (const { pins } of part.windings) {
    add(board.pins[pins[0]]?.net, board.pins[pins[1]]?.net);
  }
  return pairs;
}
