import type { Branch } from '../circuit/network.ts';
import type { BoardState } from '../circuit/state.ts';
import { actsOn, type Fault, isInCircuit } from './fault.ts';
import type { Universe } from './universe.ts';

/** Which faults act under one state of the board, and where. */
export class StateFaults {
  /** By fault: 1 when it acts. */
  readonly acts: Uint8Array;
  readonly #universe: Universe;
  readonly #state: BoardState;
  #branches: readonly (readonly Branch[])[] | undefined;
  #shortsAt: readonly (readonly number[])[] | undefined;

  constructor(universe: Universe, state: BoardState, partOfPin: (pin: number) => number) {
    this.#universe = universe;
    this.#state = state;
    this.acts = universe.actsAsFound.slice();
    // Only what the state touches can differ from the board as it came in.
    for (const part of touchedParts(state, partOfPin)) this.#renew(universe.ofPart.get(part) ?? []);
    this.#renew(universe.later);
  }

  #renew(ids: readonly number[]): void {
    for (const id of ids) {
      this.acts[id] = actsOn(this.#universe.faults[id] as Fault, this.#state) ? 1 : 0;
    }
  }

  /** By fault: the branches that are in circuit; empty when it does not act or joins nothing. */
  get branches(): readonly (readonly Branch[])[] {
    const { lifted } = this.#state;
    this.#branches ??= this.#universe.faults.map(({ id, branches }) => {
      if (this.acts[id] === 0) return [];
      if (lifted.size === 0) return branches;
      return branches.filter((branch) => isInCircuit(branch, this.#state));
    });
    return this.#branches;
  }

  /** By net: faults with a branch in circuit on it. */
  get shortsAt(): readonly (readonly number[])[] {
    this.#shortsAt ??= this.#universe.byNet.map((ids, net) =>
      ids.filter((id) => this.branches[id]?.some(({ a, b }) => a === net || b === net)),
    );
    return this.#shortsAt;
  }
}

/** Parts that a state has lifted, removed, renewed or reflowed. */
export function touchedParts(
  state: BoardState,
  partOfPin: (pin: number) => number,
): ReadonlySet<number> {
  const parts = new Set<number>(state.off);
  for (const part of state.piece.keys()) parts.add(part);
  for (const pin of state.lifted) parts.add(partOfPin(pin));
  for (const pin of state.reflowed.keys()) parts.add(partOfPin(pin));
  return parts;
}
