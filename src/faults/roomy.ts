type Numbers = Float64Array | Int32Array | Uint8Array;

/** Places behind a list; a job reads some hundred pairs at most. */
const ROOM = 256;

/** An array of zeros with room behind it, for {@link Roomy} to go on in. */
export function withRoom<T extends Numbers>(make: new (length: number) => T, length: number): T {
  return new make(length + ROOM).subarray(0, length) as T;
}

/**
 * Lists that begin with the same numbers and go on with a few more, each time mostly with those of the
 * time before: they share their memory as far as they agree, so that one more costs no copy of all. No
 * list given out is ever changed.
 */
export class Roomy<T extends Numbers> {
  readonly #first: T;
  #held: T;
  /** Places behind the first that are written. */
  #written = 0;

  /** @param first its room behind, where it was made with some, is taken */
  constructor(first: T) {
    this.#first = first;
    const make = first.constructor as new (buffer: ArrayBufferLike) => T;
    this.#held = new make(first.buffer);
  }

  with(more: ArrayLike<number>): T {
    const { length } = this.#first;
    if (length + more.length > this.#held.length || !this.#agrees(more)) this.#renew(more.length);
    for (let k = this.#written; k < more.length; k++) this.#held[length + k] = more[k] as number;
    this.#written = Math.max(this.#written, more.length);
    return this.#held.subarray(0, length + more.length) as T;
  }

  #agrees(more: ArrayLike<number>): boolean {
    const both = Math.min(this.#written, more.length);
    for (let k = 0; k < both; k++) {
      if (this.#held[this.#first.length + k] !== more[k]) return false;
    }
    return true;
  }

  #renew(more: number): void {
    const make = this.#first.constructor as new (length: number) => T;
    this.#held = new make(this.#first.length + more + ROOM);
    this.#held.set(this.#first);
    this.#written = 0;
  }
}
