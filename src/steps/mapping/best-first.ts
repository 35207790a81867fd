/**
 * Draws numbers one by one, those of most worth first and, of equal worth, the lower number: a few
 * of many, without putting all in order.
 */
export class BestFirst {
  readonly #worth: Float64Array;
  /** A heap: neither of the entries 2k + 1 and 2k + 2 goes before entry k. */
  readonly #heap: Int32Array;
  #count: number;

  /**
   * @param worth by number
   * @param numbers to draw from; overwritten
   */
  constructor(worth: Float64Array, numbers: Int32Array) {
    this.#worth = worth;
    this.#heap = numbers;
    this.#count = numbers.length;
    for (let at = (this.#count >> 1) - 1; at >= 0; at--) this.#sink(at);
  }

  /** Undefined once all are drawn. */
  draw(): number | undefined {
    if (this.#count === 0) return undefined;
    const [best] = this.#heap;
    this.#count -= 1;
    this.#heap[0] = this.#heap[this.#count]!;
    this.#sink(0);
    return best;
  }

  #sink(from: number): void {
    const heap = this.#heap;
    const number = heap[from]!;
    let at = from;
    for (;;) {
      let below = 2 * at + 1;
      if (below >= this.#count) break;
      if (below + 1 < this.#count && this.#goesBefore(heap[below + 1]!, heap[below]!)) below += 1;
      if (!this.#goesBefore(heap[below]!, number)) break;
      heap[at] = heap[below]!;
      at = below;
    }
    heap[at] = number;
  }

  #goesBefore(a: number, b: number): boolean {
    const more = this.#worth[a]! - this.#worth[b]!;
    return more > 0 || (more === 0 && a < b);
  }
}
