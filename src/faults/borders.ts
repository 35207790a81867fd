import type { Branch } from '../circuit/network.ts';
import type { BoardState } from '../circuit/state.ts';
import { actsOn } from './fault.ts';
import type { Universe } from './universe.ts';

/** Chance of a short between one net and each other one. */
type Rows = readonly (ReadonlyMap<number, number> | undefined)[];

/**
 * For one state of the board: which faults act, and how much chance of a short there is between any
 * two nets, all faults that could make it taken together. Chances are those before any decision of
 * the search; banks of which something is known to have failed are asked for apart.
 */
export class Borders {
  /** By fault: the branches that are in circuit; empty when it does not act or joins nothing. */
  readonly branches: readonly (readonly Branch[])[];
  /** By net: faults with a branch in circuit on it. */
  readonly shortsAt: readonly (readonly number[])[];
  /** By fault: 1 when it acts. */
  readonly acts: Uint8Array;
  readonly #between: Rows;
  readonly #inBank = new Map<number, Rows>();

  /**
   * @param ratio by fault: share of the fit of all observations that is left once it is there;
   *   chances are multiplied by it
   */
  constructor(universe: Universe, state: BoardState, netCount: number, ratio: Float64Array) {
    const { faults } = universe;
    this.acts = Uint8Array.from(faults, (fault) => (actsOn(fault, state) ? 1 : 0));
    this.branches = faults.map((fault) =>
      this.acts[fault.id] === 1
        ? fault.branches.filter(
            ({ pinA, pinB }) => !state.lifted.has(pinA) && !state.lifted.has(pinB),
          )
        : [],
    );
    const shortsAt: number[][] = Array.from({ length: netCount }, () => []);
    const between = emptyRows(netCount);
    for (const fault of faults) {
      const here = this.branches[fault.id] as readonly Branch[];
      for (const net of new Set(here.flatMap(({ a, b }) => [a, b]))) shortsAt[net]?.push(fault.id);
      const q = fault.bank < 0 ? 0 : (universe.bankChance[fault.bank] as number);
      const r = ratio[fault.id] as number;
      addRows(between, here, r * ((1 - q) * fault.chance[0] + q * fault.chance[1]));
      if (fault.bank < 0) continue;
      let rows = this.#inBank.get(fault.bank);
      if (rows === undefined) {
        rows = emptyRows(netCount);
        this.#inBank.set(fault.bank, rows);
      }
      addRows(rows as (Map<number, number> | undefined)[], here, r * fault.chance[1]);
    }
    this.shortsAt = shortsAt;
    this.#between = between;
  }

  /** Bound on the chance that some short joins two sets of nets; failures in `banks` are given. */
  joining(
    one: ReadonlySet<number>,
    other: ReadonlySet<number>,
    banks: ReadonlySet<number>,
  ): number {
    return this.#sum(one, banks, (to) => other.has(to));
  }

  /** Bound on the chance that some short leads out of `around` to nets outside `near`. */
  out(around: ReadonlySet<number>, near: ReadonlySet<number>, banks: ReadonlySet<number>): number {
    return this.#sum(around, banks, (to) => !around.has(to) && !near.has(to));
  }

  #sum(
    from: ReadonlySet<number>,
    banks: ReadonlySet<number>,
    counts: (to: number) => boolean,
  ): number {
    let sum = 0;
    const add = (rows: Rows, net: number): void => {
      const row = rows[net];
      if (row === undefined) return;
      for (const [to, chance] of row) if (counts(to)) sum += chance;
    };
    for (const net of from) {
      add(this.#between, net);
      for (const bank of banks) {
        const rows = this.#inBank.get(bank);
        if (rows !== undefined) add(rows, net);
      }
    }
    return sum;
  }
}

function emptyRows(netCount: number): (Map<number, number> | undefined)[] {
  return new Array(netCount).fill(undefined);
}

function addRows(
  rows: (Map<number, number> | undefined)[],
  branches: readonly Branch[],
  chance: number,
): void {
  const add = (from: number, to: number): void => {
    let row = rows[from];
    if (row === undefined) {
      row = new Map();
      rows[from] = row;
    }
    row.set(to, (row.get(to) ?? 0) + chance);
  };
  for (const { a, b } of branches) {
    add(a, b);
    add(b, a);
  }
}
