/** A binary heap of numbers: the one of least key first, of equal keys the one of least tie. */
export class LeastFirst {
  readonly #keys: number[] = [];
  readonly #ties: number[] = [];
  readonly #items: number[] = [];

  get size(): number {
    return this.#items.length;
  }

  /** Key of the first; of a heap that is not empty. */
  get leastKey(): number {
    return this.#keys[0] as number;
  }

  push(key: number, tie: number, item: number): void {
    let at = this.#items.length;
    this.#set(at, key, tie, item);
    while (at > 0) {
      const up = (at - 1) >> 1;
      if (!this.#isBefore(at, up)) break;
      this.#swap(at, up);
      at = up;
    }
  }

  /** Takes the first out; −1 when there is none. */
  pop(): number {
    if (this.size === 0) return -1;
    const first = this.#items[0] as number;
    const key = this.#keys.pop() as number;
    const tie = this.#ties.pop() as number;
    const item = this.#items.pop() as number;
    if (this.size === 0) return first;
    this.#set(0, key, tie, item);
    for (let at = 0; ; ) {
      const left = 2 * at + 1;
      let best = at;
      if (left < this.size && this.#isBefore(left, best)) best = left;
      if (left + 1 < this.size && this.#isBefore(left + 1, best)) best = left + 1;
      if (best === at) return first;
      this.#swap(at, best);
      at = best;
    }
  }

  #set(at: number, key: number, tie: number, item: number): void {
    this.#keys[at] = key;
    this.#ties[at] = tie;
    this.#items[at] = item;
  }

  #isBefore(x: number, y: number): boolean {
    const a = this.#keys[x] as number;
    const b = this.#keys[y] as number;
    return a < b || (a === b && (this.#ties[x] as number) < (this.#ties[y] as number));
  }

  #swap(x: number, y: number): void {
    swap(this.#keys, x, y);
    swap(this.#ties, x, y);
    swap(this.#items, x, y);
  }
}

function swap(list: number[], x: number, y: number): void {
  const held = list[x] as number;
  list[x] = list[y] as number;
  list[y] = held;
}
