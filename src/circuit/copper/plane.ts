import { type Layout, SQUARE_OHMS, type Stretch } from './layout.ts';
import type { Pad } from './pads.ts';

/** Nodes along the longer side of a plane's grid, at most, and about how many for each pad in a row. */
const GRID = 22;
const NODES_A_PAD = 2.5;
/** The plane goes on beyond its outermost pads, mm. Default. */
const MARGIN = 4;
const LEAST_PITCH = 0.8;
/** Radius of what joins a pad to the plane, mm: a via or two. Default. */
const PAD_RADIUS = 0.4;
/** A pad's own way into the plane: thermal spokes, a via, a short trace; Ω, and how far it may be off. Defaults. */
const PAD_OHMS = 0.35e-3;
const PAD_SPREAD = 0.6;
/** Holes, slots and other nets' traces in the plane. Default. */
const PLANE_SPREAD = 0.5;
/** The pads of one grid node lie this much of a pitch apart. */
const EQUIVALENT_RADIUS = 0.198;

/**
 * Copper as a sheet over all pads, on a square grid: a link of one square between neighbours.
 * @param ounces copper weight
 * @remarks A node of a square grid stands for a round contact of 0.198 of the pitch (D. W. Peaceman,
 * “Interpretation of well-block pressures in numerical reservoir simulation”, 1978); what a smaller pad
 * adds is the sheet between both radii, Ω per square over 2π, times the logarithm of their ratio.
 */
export function planeLayout(pads: readonly Pad[], ounces = 1): Layout {
  const [left, right] = range(pads.map(({ at }) => at[0]));
  const [low, high] = range(pads.map(({ at }) => at[1]));
  const nodes = Math.min(GRID, 4 + Math.ceil(NODES_A_PAD * Math.sqrt(pads.length)));
  const pitch = Math.max(LEAST_PITCH, Math.max(right - left, high - low) / (nodes - 1));
  const columns = Math.max(2, Math.ceil((right - left) / pitch) + 1);
  const rows = Math.max(2, Math.ceil((high - low) / pitch) + 1);
  const square = SQUARE_OHMS / ounces;
  const stretches: Stretch[] = [];
  const node = (column: number, row: number): number => row * columns + column;
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const here = node(column, row);
      const link = (b: number): void => {
        stretches.push({ a: here, b, ohms: square, spread: PLANE_SPREAD });
      };
      if (column + 1 < columns) link(node(column + 1, row));
      if (row + 1 < rows) link(node(column, row + 1));
    }
  }
  const nodeOf = new Map<number, number>();
  const ratio = Math.max(1.2, (EQUIVALENT_RADIUS * pitch) / PAD_RADIUS);
  const ohms = PAD_OHMS + (square / (2 * Math.PI)) * Math.log(ratio);
  for (const { pin, at } of pads) {
    const own = rows * columns + nodeOf.size;
    nodeOf.set(pin, own);
    const column = Math.round((at[0] - left) / pitch);
    const row = Math.round((at[1] - low) / pitch);
    stretches.push({ a: own, b: node(column, row), ohms, spread: PAD_SPREAD });
  }
  return { nodeCount: rows * columns + pads.length, nodeOf, stretches };
}

function range(values: readonly number[]): [number, number] {
  let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const value of values) {
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  return [least - MARGIN, most + MARGIN];
}
