import type { BoardState } from '../circuit/state.ts';
import { actsOn, type Fault } from './fault.ts';
import type { Universe } from './universe.ts';

/**
 * For one state of the board: how much chance of a short there is between any two nets, all faults
 * that could make it taken together. Chances are those before any decision of the search; a bank of
 * which something is known to have failed is asked for apart.
 */
export class Borders {
  readonly #between: readonly ReadonlyMap<number, number>[];
  readonly #inBank = new Map<number, Fault[]>();

  constructor(universe: Universe, state: BoardState, netCount: number) {
    const between: Map<number, number>[] = Array.from({ length: netCount }, () => new Map());
    const add = (from: number, to: number, chance: number): void => {
      const row = between[from] as Map<number, number>;
      row.set(to, (row.get(to) ?? 0) + chance);
    };
    for (const fault of universe.faults) {
      if (fault.branches.length === 0 || !actsOn(fault, state)) continue;
      const q = fault.bank < 0 ? 0 : (universe.bankChance[fault.bank] as number);
      const chance = (1 - q) * fault.chance[0] + q * fault.chance[1];
      for (const { a, b, pinA, pinB } of fault.branches) {
        if (state.lifted.has(pinA) || state.lifted.has(pinB)) continue;
        add(a, b, chance);
        add(b, a, chance);
      }
      if (fault.bank >= 0) {
        const held = this.#inBank.get(fault.bank);
        if (held === undefined) this.#inBank.set(fault.bank, [fault]);
        else held.push(fault);
      }
    }
    this.#between = between;
  }

  /** Bound on the chance that some short joins two sets of nets. */
  joining(one: ReadonlySet<number>, other: ReadonlySet<number>, banks: ReadonlySet<number>): number {
    let sum = 0;
    for (const net of one) {
      for (const [to, chance] of this.#between[net] as ReadonlyMap<number, number>) {
        if (other.has(to)) sum += chance;
      }
    }
    for (const bank of banks) {
      for (const { branches, chance } of this.#inBank.get(bank) ?? []) {
        const joins = ({ a, b }: { a: number; b: number }): boolean =>
          (one.has(a) && other.has(b)) || (one.has(b) && other.has(a));
        if (branches.some(joins)) sum += chance[1];
      }
    }
    return sum;
  }

  /**
   * Bound on the chance that some short leads out of `around` to nets outside `near`.
   * @param banks banks in which a failure is taken as given
   */
  out(
    around: ReadonlySet<number>,
    near: ReadonlySet<number>,
    banks: ReadonlySet<number>,
  ): number {
    let sum = 0;
    for (const net of around) {
      for (const [to, chance] of this.#between[net] as ReadonlyMap<number, number>) {
        if (!around.has(to) && !near.has(to)) sum += chance;
      }
    }
    for (const bank of banks) {
      for (const fault of this.#inBank.get(bank) ?? []) {
        const leads = fault.branches.some(
          ({ a, b }) => around.has(a) !== around.has(b) && !near.has(around.has(a) ? b : a),
        );
        if (leads) sum += fault.chance[1];
      }
    }
    return sum;
  }
}
