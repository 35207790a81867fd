import { type CombFacts, combLayout } from './comb.ts';
import { type Layout, SQUARE_OHMS, type Stretch } from './layout.ts';
import { type Pad, padDistance } from './pads.ts';

/** Width of copper nobody knows, mm: of a rail, and of the return of all rails. Defaults. */
const USUAL_WIDTH = 1;
const RETURN_WIDTH = 4;
/** How far a stretch is off: log-normal with this standard deviation of ln Ω, width unknown and known. Default. */
const UNKNOWN_WIDTH = 0.6;
const KNOWN_WIDTH = 0.3;
/** How much longer a trace is than the straight line. Default. */
const DETOUR = 1.15;
/** How far a way is from what it looks like: standard deviation of ln mm. Default. */
const WAY_SPREAD = 0.35;
/** Each pad hangs on the tree by so much trace of its own, mm, and how far that may be off. Defaults. */
const SPUR_LENGTH = 1;
const SPUR_SPREAD = 1;
/** So many variants are trees of the pads, those after them trunks with branches. */
const TREES = 101;
/** Where a trunk runs, as a share of the pads on one side of it, and how many rows of pads its branches take. */
const TRUNK_PLACES = [0.5, 0.25, 0.75, 0.4, 0.6];
const ROW_SHARES = [3, 5, 8];
const COMBS = 2 * TRUNK_PLACES.length * ROW_SHARES.length;
const range = (from: number, count: number): number[] =>
  Array.from({ length: count }, (_, k) => from + k);
/** Variants in families whose ways are much alike: the shortest tree, other trees, trunks along y and along x. */
export const TRACE_FAMILIES: readonly {
  readonly share: number;
  readonly ways: readonly number[];
}[] = [
  { share: 0.4, ways: [0] },
  { share: 0.3, ways: range(1, TREES - 1) },
  { share: 0.15, ways: range(TREES, COMBS) },
  { share: 0.15, ways: range(TREES + COMBS, COMBS) },
];
const LEAST_COMB_PADS = 8;
/** Pads closer than this are joined by so much copper all the same, mm. */
const LEAST_LENGTH = 0.3;

export interface TraceFacts {
  /** mm. */
  readonly width?: number;
  /** Copper weight; 1 when absent. */
  readonly ounces?: number;
  /** Rails return their current through it. */
  readonly isReturn?: boolean;
}

/**
 * Copper as a tree that joins all pads, each stretch of unknown width: the shortest one, or for another
 * `variant` one that would be the shortest if ways were longer or shorter than they look. Which way the
 * copper goes is not known; what trees of many variants have in common is.
 */
export function tracesLayout(pads: readonly Pad[], facts: TraceFacts = {}, variant = 0): Layout {
  const { perLength, spread } = copperOf(facts);
  const comb = combOf(variant, pads.length);
  if (comb !== undefined)
    return combLayout(pads, { perLength: perLength * DETOUR, spread, ...comb });
  const count = pads.length;
  const nodeOf = new Map(pads.map(({ pin }, k) => [pin, count + k]));
  const stretches = shortestTree(pads, variant).map(([a, b, length]): Stretch => {
    return { a, b, ohms: perLength * DETOUR * Math.max(length, LEAST_LENGTH), spread };
  });
  const spurs = pads.map((_, k): Stretch => {
    return { a: count + k, b: k, ohms: perLength * SPUR_LENGTH, spread: SPUR_SPREAD };
  });
  return { nodeCount: 2 * count, nodeOf, stretches: [...stretches, ...spurs] };
}

/** Ω of a mm, and how far off a stretch may be. */
function copperOf(facts: TraceFacts): { perLength: number; spread: number } {
  const usual = facts.isReturn === true ? RETURN_WIDTH : USUAL_WIDTH;
  const perLength = SQUARE_OHMS / (facts.ounces ?? 1) / (facts.width ?? usual);
  const sigma = facts.width === undefined ? UNKNOWN_WIDTH : KNOWN_WIDTH;
  return { perLength, spread: Math.sqrt(Math.exp(sigma ** 2) - 1) };
}

function combOf(
  variant: number,
  pads: number,
): Pick<CombFacts, 'along' | 'at' | 'branches' | 'isEven'> | undefined {
  const n = variant - TREES;
  if (n < 0 || pads < LEAST_COMB_PADS) return undefined;
  const k = n >> 1;
  const share = ROW_SHARES[k % ROW_SHARES.length] as number;
  const at = TRUNK_PLACES[Math.floor(k / ROW_SHARES.length) % TRUNK_PLACES.length] as number;
  const branches = Math.max(1, Math.round(Math.sqrt(pads / share)));
  return { along: n < COMBS ? 0 : 1, at, branches, isEven: n % 2 === 0 };
}

/** No way seems so much shorter than it looks: what no draw of 32 bits reaches. Most pairs need no draw. */
const LEAST_FACTOR = 0.09;

/** Prim's algorithm: pairs of pads with the mm between them. */
function shortestTree(pads: readonly Pad[], variant: number): [number, number, number][] {
  const count = pads.length;
  const nearest = new Int32Array(count).fill(0);
  const seems = new Float64Array(count).fill(Number.POSITIVE_INFINITY);
  const isIn = new Uint8Array(count);
  const tree: [number, number, number][] = [];
  const least = variant === 0 ? 1 : LEAST_FACTOR;
  let last = 0;
  for (let k = 1; k < count; k++) {
    isIn[last] = 1;
    let next = -1;
    for (let node = 0; node < count; node++) {
      if (isIn[node] === 1) continue;
      const length = padDistance(pads[last] as Pad, pads[node] as Pad);
      if (length * least < (seems[node] as number)) {
        const here =
          variant === 0 ? length : Math.max(length, LEAST_LENGTH) * wayFactor(last, node, variant);
        if (here < (seems[node] as number)) {
          seems[node] = here;
          nearest[node] = last;
        }
      }
      if (next < 0 || (seems[node] as number) < (seems[next] as number)) next = node;
    }
    const from = nearest[next] as number;
    tree.push([from, next, padDistance(pads[from] as Pad, pads[next] as Pad)]);
    last = next;
  }
  return tree;
}

/** The same for the same pads at all times: log-normal, from a hash of both and the variant. */
function wayFactor(one: number, other: number, variant: number): number {
  const h =
    Math.imul(Math.min(one, other) + 1, 0x9e3779b1) ^
    Math.imul(Math.max(one, other) + 1, 0x85ebca6b) ^
    Math.imul(variant, 0xc2b2ae35);
  const first = mixed(h);
  const second = mixed(first);
  const normal = Math.sqrt(-2 * Math.log(share(first))) * Math.cos(2 * Math.PI * share(second));
  return Math.exp(WAY_SPREAD * normal);
}

/** 32 bits well stirred, and the same as a share of all. */
function mixed(bits: number): number {
  let h = Math.imul(bits ^ (bits >>> 15), 0x2c1b3c6d);
  h = Math.imul(h ^ (h >>> 12), 0x297a2d39);
  return h ^ (h >>> 15);
}

function share(bits: number): number {
  return ((bits >>> 0) + 0.5) / 2 ** 32;
}
