/** Lists that grow by one thing at a time, without copying them for every one of ten thousand. */
export interface Growing {
  /** The list with one more at its end; `list` itself may be the one that grew. */
  add<T>(list: readonly T[], item: T): readonly T[];
}

/** Leaves every list as it was: what stood before an event still stands beside what stands after. */
export const COPYING: Growing = { add: (list, item) => [...list, item] };

/**
 * For a replay in one go, of which only the end is seen: a list made here goes on growing in place.
 * Lists handed in are copied first, so that nobody else's change.
 */
export class Replaying implements Growing {
  readonly #own = new WeakSet<readonly unknown[]>();

  add<T>(list: readonly T[], item: T): readonly T[] {
    if (this.#own.has(list)) {
      (list as T[]).push(item);
      return list;
    }
    const grown = [...list, item];
    this.#own.add(grown);
    return grown;
  }
}
