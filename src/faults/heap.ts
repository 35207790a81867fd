/** A binary heap that gives the item of highest rank first; equal ranks in order of arrival. */
export class Heap<T> {
  readonly #items: { readonly rank: number; readonly turn: number; readonly item: T }[] = [];
  #turn = 0;

  get size(): number {
    return this.#items.length;
  }

  push(rank: number, item: T): void {
    const items = this.#items;
    items.push({ rank, turn: this.#turn++, item });
    for (let at = items.length - 1; at > 0; ) {
      const up = (at - 1) >> 1;
      if (!this.#before(at, up)) break;
      this.#swap(at, up);
      at = up;
    }
  }

  pop(): T | undefined {
    const items = this.#items;
    const top = items[0];
    const last = items.pop();
    if (top === undefined || last === undefined || items.length === 0) return top?.item;
    items[0] = last;
    for (let at = 0; ; ) {
      const left = 2 * at + 1;
      let best = at;
      if (left < items.length && this.#before(left, best)) best = left;
      if (left + 1 < items.length && this.#before(left + 1, best)) best = left + 1;
      if (best === at) return top.item;
      this.#swap(at, best);
      at = best;
    }
  }

  /** Some item that is meant, left where it is; undefined when none is. */
  find(isMeant: (item: T) => boolean): T | undefined {
    return this.#items.find(({ item }) => isMeant(item))?.item;
  }

  #before(x: number, y: number): boolean {
    const a = this.#items[x];
    const b = this.#items[y];
    if (a === undefined || b === undefined) return false;
    return a.rank > b.rank || (a.rank === b.rank && a.turn < b.turn);
  }

  #swap(x: number, y: number): void {
    const a = this.#items[x];
    const b = this.#items[y];
    if (a === undefined || b === undefined) return;
    this.#items[x] = b;
    this.#items[y] = a;
  }
}
