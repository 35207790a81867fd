/** By fault: fit of the observations if it were there too, over the fit without it; 1 where none is set. */
export class Ratios {
  readonly #values: Float64Array;
  readonly #isSet: Uint8Array;
  #ids: number[] = [];

  constructor(faults: number) {
    this.#values = new Float64Array(faults).fill(1);
    this.#isSet = new Uint8Array(faults);
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
