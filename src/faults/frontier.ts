import { Heap } from './heap.ts';

interface Entry<T> {
  readonly node: T;
  readonly bound: number;
  taken: boolean;
}

/**
 * Nodes waiting to be expanded, in two orders at once: by the likeliest completion, which finds the
 * heavy explanations soon, and by the bound on all that lies below, which soon leaves little out.
 */
export class Frontier<T> {
  readonly #byRank = new Heap<Entry<T>>();
  readonly #byBound = new Heap<Entry<T>>();
  #size = 0;
  #boundSum = 0;
  #turn = 0;

  get size(): number {
    return this.#size;
  }

  /** Sum of the bounds of all nodes that wait. */
  get boundSum(): number {
    return this.#boundSum;
  }

  push(node: T, rank: number, bound: number): void {
    const entry: Entry<T> = { node, bound, taken: false };
    this.#byRank.push(rank, entry);
    this.#byBound.push(bound, entry);
    this.#size++;
    this.#boundSum += bound;
  }

  /** Every other node from each order; by rank alone while `rankOnly`. */
  pop(rankOnly: boolean): T | undefined {
    const heap = rankOnly || this.#turn++ % 2 === 0 ? this.#byRank : this.#byBound;
    for (let entry = heap.pop(); entry !== undefined; entry = heap.pop()) {
      if (!entry.taken) return this.#taken(entry);
    }
    return undefined;
  }

  /** The first node found that is meant; undefined when none is. */
  take(isMeant: (node: T) => boolean): T | undefined {
    const entry = this.#byRank.find(({ node, taken }) => !taken && isMeant(node));
    return entry === undefined ? undefined : this.#taken(entry);
  }

  #taken(entry: Entry<T>): T {
    entry.taken = true;
    this.#size--;
    this.#boundSum = Math.max(0, this.#boundSum - entry.bound);
    return entry.node;
  }
}
