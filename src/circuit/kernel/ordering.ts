/**
 * A fill-reducing elimination order for a symmetric pattern: greedy minimum degree.
 * Ties go to the lower number, so one pattern has one order on every machine.
 * @param count      number of rows n
 * @param pairs      off-diagonal pattern, flat: row, column, row, column …; either triangle
 * @returns length n: `order[k]` is the row eliminated k-th
 * @remarks George & Liu 1989, “The evolution of the minimum degree ordering algorithm”. Plain
 * clique updates, no quotient graph: boards are close to trees once the ground net is taken out.
 */
export function minimumDegreeOrder(count: number, pairs: readonly number[]): Int32Array {
  const neighbours: Set<number>[] = Array.from({ length: count }, () => new Set<number>());
  for (let k = 0; k < pairs.length; k += 2) {
    const a = pairs[k] as number;
    const b = pairs[k + 1] as number;
    if (a === b) continue;
    (neighbours[a] as Set<number>).add(b);
    (neighbours[b] as Set<number>).add(a);
  }
  const queue = new DegreeQueue(neighbours.map((set) => set.size));
  const order = new Int32Array(count);
  for (let k = 0; k < count; k++) {
    const row = queue.takeLowest();
    order[k] = row;
    const around = [...(neighbours[row] as Set<number>)];
    for (const a of around) {
      const set = neighbours[a] as Set<number>;
      set.delete(row);
      for (const b of around) if (b !== a) set.add(b);
      queue.change(a, set.size);
    }
    (neighbours[row] as Set<number>).clear();
  }
  return order;
}

/** Rows by degree; a row may stand in several buckets, only its latest entry counts. */
class DegreeQueue {
  readonly #buckets: number[][] = [];
  readonly #degree: number[];
  readonly #gone: Uint8Array;
  #lowest = 0;

  constructor(degrees: number[]) {
    this.#degree = degrees;
    this.#gone = new Uint8Array(degrees.length);
    for (let row = degrees.length - 1; row >= 0; row--) this.#push(row, degrees[row] as number);
  }

  #push(row: number, degree: number): void {
    let bucket = this.#buckets[degree];
    if (bucket === undefined) {
      bucket = [];
      this.#buckets[degree] = bucket;
    }
    bucket.push(row);
    if (degree < this.#lowest) this.#lowest = degree;
  }

  change(row: number, degree: number): void {
    if (this.#degree[row] === degree) return;
    this.#degree[row] = degree;
    this.#push(row, degree);
  }

  takeLowest(): number {
    for (;;) {
      const row = this.#buckets[this.#lowest]?.pop();
      if (row === undefined) this.#lowest++;
      else if (this.#gone[row] === 0 && this.#degree[row] === this.#lowest) {
        this.#gone[row] = 1;
        return row;
      }
    }
  }
}
