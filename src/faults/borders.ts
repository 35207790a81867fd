import type { Fault } from './fault.ts';
import type { StateFaults } from './state-faults.ts';
import type { Universe } from './universe.ts';

/** Chance of a short from a net to each other one. */
type Row = ReadonlyMap<number, number>;

/**
 * For one state of the board: how much chance of a short there is between any two nets, all faults
 * that could make it taken together. Chances are those before any decision of the search; banks of
 * which something is known to have failed are asked for apart.
 */
export class Borders {
  readonly #universe: Universe;
  readonly #here: StateFaults;
  readonly #ratio: Float64Array | undefined;
  readonly #rows = new Map<number, Row>();
  readonly #inBank = new Map<number, Map<number, Row>>();

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
    let sum = 0;
    const add = (row: Row): void => {
      for (const [to, chance] of row) if (counts(to)) sum += chance;
    };
    for (const net of from) {
      add(this.#row(net));
      for (const bank of banks) add(this.#rowInBank(bank, net));
    }
    return sum;
  }

  #row(net: number): Row {
    let row = this.#rows.get(net);
    if (row === undefined) {
      row = this.#collect(net, ({ bank, chance }) => {
        const q = bank < 0 ? 0 : (this.#universe.bankChance[bank] as number);
        return (1 - q) * chance[0] + q * chance[1];
      });
      this.#rows.set(net, row);
    }
    return row;
  }

  /** Of the faults of one bank, once several of it have failed. */
  #rowInBank(bank: number, net: number): Row {
    let rows = this.#inBank.get(bank);
    if (rows === undefined) {
      rows = new Map();
      this.#inBank.set(bank, rows);
    }
    let row = rows.get(net);
    if (row === undefined) {
      row = this.#collect(net, (fault) => (fault.bank === bank ? fault.chance[1] : 0));
      rows.set(net, row);
    }
    return row;
  }

  #collect(net: number, chanceOf: (fault: Fault) => number): Row {
    const row = new Map<number, number>();
    for (const id of this.#here.shortsAt(net)) {
      const chance = (this.#ratio?.[id] ?? 1) * chanceOf(this.#universe.faults[id] as Fault);
      if (chance === 0) continue;
      for (const { a, b } of this.#here.branchesOf(id)) {
        if (a === net) row.set(b, (row.get(b) ?? 0) + chance);
        if (b === net) row.set(a, (row.get(a) ?? 0) + chance);
      }
    }
    return row;
  }
}
