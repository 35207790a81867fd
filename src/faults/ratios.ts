import type { Workspace } from './workspace.ts';

/** By fault: fit of the observations if it were there too, over the fit without it; 1 where none is set. */
export class Ratios {
  readonly #workspace: Workspace;
  readonly #values: Float64Array;
  readonly #isSet: Uint8Array;
  #ids: number[] = [];

  constructor(faults: number, workspace: Workspace) {
    this.#workspace = workspace;
    this.#values = workspace.ones.borrow(faults);
    this.#isSet = workspace.marks.borrow(faults);
  }

  /** Gives its arrays back; it is of no use after that. */
  release(): void {
    this.clear();
    this.#workspace.ones.giveBack(this.#values);
    this.#workspace.marks.giveBack(this.#isSet);
  }

  /** Faults with a ratio, in the order they were first set. */
  get ids(): readonly number[] {
    return this.#ids;
  }

  get(id: number): number {
    return this.#values[id] as number;
  }

  set(id: number, ratio: number): void {
    this.#values[id] = ratio;
    if (this.#isSet[id] === 1) return;
    this.#isSet[id] = 1;
    this.#ids.push(id);
  }

  clear(): void {
    for (const id of this.#ids) {
      this.#values[id] = 1;
      this.#isSet[id] = 0;
    }
    this.#ids = [];
  }
}
