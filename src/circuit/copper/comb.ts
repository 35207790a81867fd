import type { Layout, Stretch } from './layout.ts';
import type { Pad } from './pads.ts';

/** A trunk is so many times as wide as a spur, a branch so many. Defaults. */
const TRUNK_WIDTH = 2;
const BRANCH_WIDTH = 1.3;
/** Nodes closer than this are joined by so much copper all the same, mm. */
const LEAST_LENGTH = 0.3;

export interface CombFacts {
  /** Ω of a mm of a spur, and how far a stretch may be off as a ratio. */
  readonly perLength: number;
  readonly spread: number;
  /** 0: the trunk runs along y, branches along x; 1: the other way round. */
  readonly along: 0 | 1;
  /** Where the trunk stands among the pads, 0 to 1. */
  readonly at: number;
  readonly branches: number;
  /** Whether branches take alike strips of the board, or else as many pads each. */
  readonly isEven: boolean;
}

/**
 * Copper as it is often drawn: one trunk across the board, branches off it, and a spur to each pad. It
 * has joints where there is no pad, which a tree of the pads alone has not.
 */
export function combLayout(pads: readonly Pad[], facts: CombFacts): Layout {
  const { perLength, spread, along, at } = facts;
  const across = (1 - along) as 0 | 1;
  const xs = pads.map((pad) => pad.at[along]).sort((x, y) => x - y);
  const trunk = xs[Math.floor(at * (xs.length - 1))] as number;
  const nodeOf = new Map(pads.map(({ pin }, node) => [pin, node]));
  const stretches: Stretch[] = [];
  let nodes = pads.length;
  const join = (a: number, b: number, mm: number, width: number): void => {
    const ohms = (perLength * Math.max(Math.abs(mm), LEAST_LENGTH)) / width;
    stretches.push({ a, b, ohms, spread });
  };
  const order = pads
    .map((pad, node) => ({ node, x: pad.at[along], y: pad.at[across] }))
    .sort((p, q) => p.y - q.y);
  let before: { readonly node: number; readonly y: number } | undefined;
  for (const own of rowsOf(order, facts)) {
    const y = own.reduce((sum, pad) => sum + pad.y, 0) / own.length;
    const foot = nodes++;
    if (before !== undefined) join(before.node, foot, y - before.y, TRUNK_WIDTH);
    before = { node: foot, y };
    const taps = own.map((pad) => {
      const tap = nodes++;
      join(tap, pad.node, pad.y - y, 1);
      return { node: tap, x: pad.x };
    });
    const line = [...taps, { node: foot, x: trunk }].sort((p, q) => p.x - q.x);
    line.slice(1).forEach((one, k) => {
      const last = line[k] as (typeof line)[number];
      join(last.node, one.node, one.x - last.x, BRANCH_WIDTH);
    });
  }
  return { nodeCount: nodes, nodeOf, stretches };
}

interface Placed {
  readonly node: number;
  readonly x: number;
  readonly y: number;
}

/** @param order by y */
function rowsOf(order: readonly Placed[], { branches, isEven }: CombFacts): Placed[][] {
  const low = order[0]?.y ?? 0;
  const high = Math.max((order.at(-1)?.y ?? 0) - low, LEAST_LENGTH);
  const rows: Placed[][] = Array.from({ length: branches }, () => []);
  order.forEach((pad, k) => {
    const share = isEven ? (pad.y - low) / high : k / order.length;
    rows[Math.min(branches - 1, Math.floor(share * branches))]?.push(pad);
  });
  return rows.filter((row) => row.length > 0);
}
