import { type Diagnostic, InputError } from '../../board/diagnostic.ts';
import type { Board } from '../../board/model.ts';
import { nearest } from '../../board/nearest.ts';
import { clustersOf, countsOf } from './boxes.ts';
import { type Drawn, powerSide } from './power-side.ts';

/** What a drawing is made round: a part or a net. */
export type Seed = { readonly part: number } | { readonly net: number };

/**
 * The part or net of a name; exact letters first, then any letter case.
 * @throws {InputError} when nothing is called so, with the nearest name
 */
export function seedNamed(board: Board, text: string): Seed {
  const name = text.trim();
  const part =
    board.partNamed.get(name) ??
    (board.netNamed.has(name) ? undefined : board.parts.find((each) => same(each.name, name)));
  if (part !== undefined) return { part: part.index };
  const net = board.netNamed.get(name) ?? board.nets.find((each) => same(each.name, name));
  if (net !== undefined) return { net: net.index };
  const near = nearest(name, [...board.partNamed.keys(), ...board.netNamed.keys()]);
  const fault: Diagnostic = {
    code: 'UNKNOWN_POINT',
    severity: 'error',
    message: `no part and no net is called "${name}"`,
    ...(near === undefined ? {} : { hint: `did you mean "${near}"?` }),
  };
  throw new InputError([fault]);
}

const same = (a: string, b: string): boolean => a.toLowerCase() === b.toLowerCase();

/** A net of more pins is not followed further: everything is near ground. */
const WIDE_PINS = 16;
/** Boxes and bars that a neighbourhood takes in before it stops at the ring it has. */
const ENOUGH = 64;
const MOST_RINGS = 4;

/**
 * A part or net with what lies round it, ring by ring: parts on its nets, then parts on theirs, until
 * there are enough. Where a ring is too much, only what is on the power nets is taken of it. Nets of many
 * pins end it, unless one of them is asked for.
 */
export function neighbourhood(board: Board, seed: Seed): Drawn {
  const power = powerSide(board).parts;
  const first = 'part' in seed ? [seed.part] : partsOn(board, seed.net);
  const start = drawnWith(board, new Set(), first);
  const isMany = piecesOf(board, start) > ENOUGH;
  let drawn = isMany
    ? drawnWith(
        board,
        new Set(),
        first.filter((part) => power.has(part)),
      )
    : start;
  for (let depth = 1; depth < MOST_RINGS; depth++) {
    const ring = ringOf(board, drawn);
    if (ring.length === 0) break;
    const tries = [ring, ring.filter((part) => power.has(part))];
    const grown = tries
      .map((parts) => drawnWith(board, drawn.parts, parts))
      .find((each) => piecesOf(board, each) <= ENOUGH);
    if (grown === undefined || grown.parts.size === drawn.parts.size) break;
    drawn = grown;
  }
  return 'net' in seed ? { ...drawn, nets: new Set([seed.net, ...drawn.nets]) } : drawn;
}

function piecesOf(board: Board, { parts, nets }: Drawn): number {
  const clusters = clustersOf(board, parts, nets);
  return clusters.length + [...countsOf(clusters).values()].filter((count) => count > 1).length;
}

function drawnWith(board: Board, before: ReadonlySet<number>, more: readonly number[]): Drawn {
  const parts = new Set([...before, ...more]);
  const pins = [...parts].flatMap((part) => board.parts[part]?.pins ?? []);
  return { parts, nets: new Set(pins.map((pin) => board.pins[pin]?.net ?? -1)) };
}

/** Parts that are not drawn yet, on nets of those that are. */
function ringOf(board: Board, { parts, nets }: Drawn): number[] {
  const narrow = [...nets].filter((net) => (board.nets[net]?.pins.length ?? 0) <= WIDE_PINS);
  const all = new Set(narrow.flatMap((net) => partsOn(board, net)));
  return [...all].filter((part) => !parts.has(part));
}

function partsOn(board: Board, net: number): number[] {
  const pins = board.nets[net]?.pins ?? [];
  return [...new Set(pins.flatMap((pin) => board.pins[pin]?.part ?? []))];
}
