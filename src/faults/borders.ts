import type { Branch } from '../circuit/network.ts';
import type { StateFaults } from './state-faults.ts';
import type { Universe } from './universe.ts';

/** Chance of a short between one net and each other one. */
type Rows = (Map<number, number> | undefined)[];

/**
 * For one state of the board: how much chance of a short there is between any two nets, all faults
 * that could make it taken together. Chances are those before any decision of the search; banks of
 * which something is known to have failed are asked for apart.
 */
export class Borders {
  readonly #universe: Universe;
  readonly #here: StateFaults;
  readonly #ratio: Float64Array | undefined;
  readonly #inBank = new Map<number, Rows>();
  #rows: Rows | undefined;

  /**
   * @param ratio by fault: share of the fit of all observations that is left once it is there;
   *   chances are multiplied by it; default 1
   */
  constructor(universe: Universe, here: StateFaults, ratio?: Float64Array) {
    this.#universe = universe;
    this.#here = here;
    this.#ratio = ratio;
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
    this.#rows ??= this.#collect();
    let sum = 0;
    const add = (row: ReadonlyMap<number, number> | undefined): void => {
      if (row === undefined) return;
      for (const [to, chance] of row) if (counts(to)) sum += chance;
    };
    for (const net of from) {
      add(this.#rows[net]);
      for (const bank of banks) add(this.#inBank.get(bank)?.[net]);
    }
    return sum;
  }

  #collect(): Rows {
    const { faults, bankChance, byNet } = this.#universe;
    const rows: Rows = new Array(byNet.length).fill(undefined);
    for (const { id, bank, chance } of faults) {
      const branches = this.#here.branchesOf(id);
      if (branches.length === 0) continue;
      const share = this.#ratio?.[id] ?? 1;
      const q = bank < 0 ? 0 : (bankChance[bank] as number);
      addRows(rows, branches, share * ((1 - q) * chance[0] + q * chance[1]));
      if (bank < 0) continue;
      let own = this.#inBank.get(bank);
      if (own === undefined) {
        own = new Array(byNet.length).fill(undefined) as Rows;
        this.#inBank.set(bank, own);
      }
      addRows(own, branches, share * chance[1]);
    }
    return rows;
  }
}

function addRows(rows: Rows, branches: readonly Branch[], chance: number): void {
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
