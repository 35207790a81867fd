import type { ShortTable } from './short-table.ts';

/** The shorts of a table by the two nets that a branch of theirs joins; made once for a table. */
export class ShortIndex {
  /** By net: where its entries start; they are sorted by the net they lead to, then by fault. */
  readonly #starts: Int32Array;
  readonly #others: Int32Array;
  readonly #ids: Int32Array;

  constructor(table: ShortTable, netCount: number) {
    const { a, b } = table;
    const owner = ownersOf(table);
    const ends = 2 * a.length;
    const from = (end: number): number => ((end & 1) === 0 ? a : b)[end >> 1] as number;
    const to = (end: number): number => ((end & 1) === 0 ? b : a)[end >> 1] as number;
    // Two stable counting sorts, by the net led to and then by the net started from.
    const all = Int32Array.from({ length: ends }, (_, end) => end);
    const byTo = sortedBy(all, to, netCount);
    const order = sortedBy(byTo.order, from, netCount);
    this.#starts = order.starts;
    this.#others = order.order.map(to);
    this.#ids = order.order.map((end) => owner[end >> 1] as number);
  }

  /** Branches on a net. */
  count(net: number): number {
    return (this.#starts[net + 1] as number) - (this.#starts[net] as number);
  }

  /** Takes up the faults with a branch from a net to one of some others; one may come up several times. */
  collect(net: number, near: ReadonlyMap<number, number>, take: (id: number) => void): void {
    const first = this.#starts[net] as number;
    const end = this.#starts[net + 1] as number;
    // Looking up a net takes some ten steps.
    if (end - first <= 10 * near.size) {
      for (let k = first; k < end; k++) {
        if (near.has(this.#others[k] as number)) take(this.#ids[k] as number);
      }
      return;
    }
    for (const other of near.keys()) {
      for (let k = this.#firstTo(first, end, other); k < end && this.#others[k] === other; k++) {
        take(this.#ids[k] as number);
      }
    }
  }

  #firstTo(first: number, end: number, other: number): number {
    let [low, high] = [first, end];
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((this.#others[middle] as number) < other) low = middle + 1;
      else high = middle;
    }
    return low;
  }
}

const KNOWN = new WeakMap<ShortTable, ShortIndex>();

/** The index of a table, made when first asked for. */
export function indexOf(table: ShortTable, netCount: number): ShortIndex {
  let index = KNOWN.get(table);
  if (index === undefined) {
    index = new ShortIndex(table, netCount);
    KNOWN.set(table, index);
  }
  return index;
}

/** By branch: its fault. */
function ownersOf({ ids, starts, a }: ShortTable): Int32Array {
  const owner = new Int32Array(a.length);
  ids.forEach((id, k) => {
    owner.fill(id, starts[k], starts[k + 1]);
  });
  return owner;
}

function sortedBy(
  items: Int32Array,
  keyOf: (item: number) => number,
  count: number,
): { readonly order: Int32Array; readonly starts: Int32Array } {
  const starts = new Int32Array(count + 1);
  for (const item of items) starts[keyOf(item) + 1]!++;
  for (let key = 0; key < count; key++) starts[key + 1]! += starts[key] as number;
  const next = starts.slice(0, count);
  const order = new Int32Array(items.length);
  for (const item of items) order[next[keyOf(item)]!++] = item;
  return { order, starts };
}
