/**
 * Arrays as long as the list of faults, kept from one weighing to the next: a large board has hundreds
 * of thousands of faults, and new arrays in every step would have all memory swept every few steps.
 * Whoever borrows one gives it back as it was: all zeros, or all ones. One that is never given back, as
 * work was stopped, is merely lost.
 */
export class Workspace {
  readonly zeros: Shelf<Float64Array> = new Shelf((length) => new Float64Array(length));
  readonly ones: Shelf<Float64Array> = new Shelf((length) => new Float64Array(length).fill(1));
  readonly marks: Shelf<Uint8Array> = new Shelf((length) => new Uint8Array(length));
  readonly turns: Shelf<Uint32Array> = new Shelf((length) => new Uint32Array(length));
}

/** New arrays are longer by this share, since faults of copper come with every pair read. */
const ROOM_RATIO = 1.02;

class Shelf<T extends { readonly length: number }> {
  readonly #make: (length: number) => T;
  #held: T[] = [];

  constructor(make: (length: number) => T) {
    this.#make = make;
  }

  /** @returns an array of at least so many places */
  borrow(length: number): T {
    const held = this.#held.pop();
    if (held !== undefined && held.length >= length) return held;
    this.#held = []; // all of them were made for fewer faults
    return this.#make(Math.ceil(ROOM_RATIO * length));
  }

  giveBack(array: T): void {
    this.#held.push(array);
  }
}
