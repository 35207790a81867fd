import { boardWarnings } from './board-warnings.ts';
import type { Diagnostic } from './diagnostic.ts';
import type { Board, Part, Rail } from './model.ts';
import { netGroups } from './net-groups.ts';

/** What a board amounts to, as plain data; parts and nets by their numbers. */
export interface Overview {
  readonly name: string;
  readonly revision?: string;
  readonly counts: {
    readonly parts: number;
    readonly pins: number;
    readonly nets: number;
    readonly jumpers: number;
    /** Parts by kind name, most frequent first. */
    readonly kinds: readonly { readonly kind: string; readonly count: number }[];
  };
  readonly rails: readonly RailOverview[];
  /** Banks as the file declares them, in file order. */
  readonly banks: readonly { readonly name: string; readonly parts: readonly number[] }[];
  /** Parts of one kind across the same nets, pin for pin, with no bank declared for all of them. */
  readonly parallel: readonly { readonly kind: string; readonly parts: readonly number[] }[];
  readonly islands: readonly Island[];
  readonly heatsinks: readonly { readonly name: string; readonly parts: readonly number[] }[];
  /** What an import guessed, still to be confirmed. */
  readonly guesses: readonly { readonly part: number; readonly guesses: readonly string[] }[];
  readonly warnings: readonly Diagnostic[];
}

export interface RailOverview {
  readonly rail: Rail;
  /** Capacitors from plus to minus. */
  readonly capacitors: readonly number[];
  /** Sum of those whose capacitance is known. */
  readonly farads: number;
}

/**
 * Nets joined by parts through which a meter sees anything on a healthy board: a resistance, a
 * winding, a junction. Capacitors, gates and transformer gaps separate islands.
 */
export interface Island {
  readonly nets: readonly number[];
  /** Nets with the most pins, at most five. */
  readonly biggest: readonly number[];
}

/** Counts, rails, banks, islands and warnings of a board. Linear in its size. */
export function overview(board: Board): Overview {
  return {
    name: board.name,
    ...(board.revision === undefined ? {} : { revision: board.revision }),
    counts: {
      parts: board.parts.length,
      pins: board.pins.length,
      nets: board.nets.length,
      jumpers: board.parts.filter((part) => part.kind.link).length,
      kinds: kindCounts(board),
    },
    rails: railOverviews(board),
    banks: gathered(board, (part) => part.bank),
    parallel: parallelGroups(board),
    islands: islandsOf(board),
    heatsinks: gathered(board, (part) => part.heatsink),
    guesses: board.parts.flatMap(({ index, guesses }) =>
      guesses.length > 0 ? [{ part: index, guesses }] : [],
    ),
    warnings: boardWarnings(board),
  };
}

function kindCounts(board: Board): { kind: string; count: number }[] {
  const counts = new Map<string, number>();
  for (const { kind } of board.parts) counts.set(kind.name, (counts.get(kind.name) ?? 0) + 1);
  return [...counts]
    .map(([kind, count]) => ({ kind, count }))
    .sort((a, b) => b.count - a.count || a.kind.localeCompare(b.kind, 'en'));
}

/** Capacitors from one net of each rail to the other, and their sum. */
export function railOverviews(board: Board): RailOverview[] {
  const byNets = new Map<string, Part[]>();
  for (const part of board.parts) {
    if (part.kind.value === 'farads') push(byNets, netsKey(netsOf(board, part)), part);
  }
  return board.rails.map((rail) => {
    const capacitors = byNets.get(netsKey([rail.plus, rail.minus])) ?? [];
    return {
      rail,
      capacitors: capacitors.map((part) => part.index),
      farads: capacitors.reduce((sum, part) => sum + (part.farads ?? 0), 0),
    };
  });
}

function netsOf(board: Board, part: Part): number[] {
  return part.pins.map((pin) => board.pins[pin]?.net ?? -1);
}

function netsKey(nets: readonly number[]): string {
  return nets.toSorted((a, b) => a - b).join('-');
}

/** Parts under the name a fact gives them, in file order. */
function gathered(
  board: Board,
  nameOf: (part: Part) => string | undefined,
): { name: string; parts: number[] }[] {
  const groups = new Map<string, Part[]>();
  for (const part of board.parts) {
    const name = nameOf(part);
    if (name !== undefined) push(groups, name, part);
  }
  return [...groups].map(([name, parts]) => ({ name, parts: parts.map((part) => part.index) }));
}

/** Test points and connectors lie in parallel without being a bank. */
const NEVER_PARALLEL = new Set(['test-point', 'connector', 'mechanical', 'unknown']);

function parallelGroups(board: Board): { kind: string; parts: number[] }[] {
  const groups = new Map<string, Part[]>();
  for (const part of board.parts) {
    const nets = netsOf(board, part);
    if (NEVER_PARALLEL.has(part.kind.name) || new Set(nets).size < 2) continue;
    const order = part.kind.symmetric ? netsKey(nets) : nets.join('-');
    push(groups, `${part.kind.name} ${order}`, part);
  }
  return [...groups.values()]
    .filter((parts) => parts.length > 1 && !isOneBank(parts))
    .map((parts) => ({
      kind: parts[0]?.kind.name ?? '',
      parts: parts.map((part) => part.index),
    }));
}

function isOneBank(parts: readonly Part[]): boolean {
  const bank = parts[0]?.bank;
  return bank !== undefined && parts.every((part) => part.bank === bank);
}

const MOST_SHOWN = 5;

function islandsOf(board: Board): Island[] {
  const size = (net: number): number => board.nets[net]?.pins.length ?? 0;
  return netGroups(board)
    .map((nets) => ({
      nets,
      biggest: nets.toSorted((a, b) => size(b) - size(a) || a - b).slice(0, MOST_SHOWN),
    }))
    .sort((a, b) => b.nets.length - a.nets.length);
}

function push<K>(groups: Map<K, Part[]>, key: K, part: Part): void {
  const group = groups.get(key);
  if (group) group.push(part);
  else groups.set(key, [part]);
}
