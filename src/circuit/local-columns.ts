import type { Columns } from './added-branches.ts';

/**
 * Columns of a network with no entries but those of a few nodes, which are numbered anew as they come
 * up: for the thousands of readings asked of a large board, each with a few branches added.
 */
export class LocalColumns implements Columns {
  /** By place. */
  readonly island: number[] = [];
  readonly #between: (from: number, to: number) => number;
  readonly #nodes: number[] = [];
  readonly #columns: (readonly number[] | undefined)[] = [];

  /** @param between voltage at one node for 1 A into another; the same the other way about */
  constructor(between: (from: number, to: number) => number) {
    this.#between = between;
  }

  /** The place of a node; to be asked for all of them before any column. */
  placeOf(node: number, island: number): number {
    const known = this.#nodes.indexOf(node);
    if (known >= 0) return known;
    this.#columns.push(undefined);
    this.island.push(island);
    return this.#nodes.push(node) - 1;
  }

  column(place: number): readonly number[] {
    let column = this.#columns[place];
    if (column === undefined) {
      column = this.#make(place);
      this.#columns[place] = column;
    }
    return column;
  }

  #make(place: number): number[] {
    const from = this.#nodes[place] as number;
    const column: number[] = [];
    for (let k = 0; k < this.#nodes.length; k++) {
      const known = this.#columns[k];
      const own =
        known === undefined ? this.#between(from, this.#nodes[k] as number) : known[place];
      column.push(own as number);
    }
    return column;
  }
}
