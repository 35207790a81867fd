import { ampsAt, limitedStep, siemensAt, voltsFor } from './junction-law.ts';
import type { Bundle } from './junction-network.ts';
import { factorize, type Plan, planFactor, solveInPlace } from './kernel/ldl.ts';
import type { Branch, Network } from './network.ts';

/** Ties every island to the zero node, S; no meter reads as high. */
const TIE_SIEMENS = 1e-14;
const LEAST_OHMS = 1e-6;
const MOST_ITERATIONS = 200;
const CALM_FROM = 60;
const SETTLED_VOLTS = 1e-9;

/** Where the conductance between two nodes goes: a pair of rows, or a row and the zero node. */
type Slot = { readonly pair: number } | { readonly row: number };

/**
 * Newton's method on all nodes of a network with junctions at once: for currents so low that most
 * junctions carry a share. The sparse factor is renewed in every iteration, its order only when
 * faults add branches.
 */
export class NodalNewton {
  readonly #network: Network;
  readonly #bundles: readonly Bundle[];
  readonly #zero: number;
  readonly #row: Int32Array;
  #bare: Assembly | undefined;

  constructor(network: Network, bundles: readonly Bundle[]) {
    this.#network = network;
    this.#bundles = bundles;
    this.#zero = busiest(network);
    this.#row = Int32Array.from({ length: network.nodeCount }, (_, node) =>
      node === this.#zero ? -1 : node < this.#zero ? node : node - 1,
    );
  }

  /**
   * V across two nodes for a current into `red` and out of `black`; beyond any meter when nothing carries it.
   * @param guess V of a node where something is known of it, else NaN; a near one halves the iterations
   */
  volts(
    red: number,
    black: number,
    added: readonly Branch[],
    amps: number,
    guess: (node: number) => number = () => Number.NaN,
  ): number {
    const assembly = this.#assemble(added);
    const across = Float64Array.from(this.#bundles, ({ netA, netK, law }) => {
      const volts = guess(netA) - guess(netK);
      return Number.isNaN(volts) ? 0 : Math.min(volts, voltsFor(law, amps));
    });
    let node: Float64Array = new Float64Array(0);
    for (let iteration = 0; iteration < MOST_ITERATIONS; iteration++) {
      node = this.#solve(assembly, red, black, amps, across);
      if (this.#step(node, across, iteration < CALM_FROM ? 1 : 0.5)) break;
    }
    return this.#at(node, red) - this.#at(node, black);
  }

  #at(node: Float64Array, of: number): number {
    const row = this.#row[of] as number;
    return row < 0 ? 0 : (node[row] as number);
  }

  #solve(
    { plan, toZero, siemens, slots }: Assembly,
    red: number,
    black: number,
    amps: number,
    across: Float64Array,
  ): Float64Array {
    const here = siemens.slice();
    const down = toZero.slice();
    const rhs = new Float64Array(plan.count);
    const inject = (at: number, current: number): void => {
      const row = this.#row[at] as number;
      if (row >= 0) rhs[row]! += current;
    };
    inject(red, amps);
    inject(black, -amps);
    this.#bundles.forEach(({ netA, netK, law }, k) => {
      const volts = across[k] as number;
      const slope = siemensAt(law, volts);
      const rest = ampsAt(law, volts) - slope * volts;
      const slot = slots[k] as Slot;
      if ('pair' in slot) here[slot.pair]! += slope;
      else down[slot.row]! += slope;
      inject(netA, -rest);
      inject(netK, rest);
    });
    const { count, pairs } = plan;
    solveInPlace(factorize({ count, pairs, siemens: here, toZero: down }, plan), rhs);
    return rhs;
  }

  /** @returns whether nothing moved any more */
  #step(node: Float64Array, across: Float64Array, share: number): boolean {
    let isSettled = true;
    this.#bundles.forEach(({ netA, netK, law }, k) => {
      const from = across[k] as number;
      const to = this.#at(node, netA) - this.#at(node, netK);
      const next = from + share * (limitedStep(law, from, to) - from);
      if (Math.abs(next - from) > SETTLED_VOLTS * Math.max(1, Math.abs(next))) isSettled = false;
      across[k] = next;
    });
    return isSettled;
  }

  #assemble(added: readonly Branch[]): Assembly {
    if (added.length === 0 && this.#bare !== undefined) return this.#bare;
    const pairs: number[] = [];
    const values: number[] = [];
    const known = new Map<number, number>();
    const count = this.#network.nodeCount - 1;
    const toZero = new Float64Array(count).fill(TIE_SIEMENS);
    const slotOf = (a: number, b: number): Slot => {
      const ra = this.#row[a] as number;
      const rb = this.#row[b] as number;
      if (ra < 0 || rb < 0) return { row: Math.max(ra, rb) };
      const key = Math.min(ra, rb) * count + Math.max(ra, rb);
      let pair = known.get(key);
      if (pair === undefined) {
        pair = values.length;
        known.set(key, pair);
        pairs.push(ra, rb);
        values.push(0);
      }
      return { pair };
    };
    for (const { a, b, ohms } of [...this.#network.branches, ...added]) {
      if (a === b) continue;
      const slot = slotOf(a, b);
      const siemens = 1 / Math.max(ohms, LEAST_OHMS);
      if ('pair' in slot) values[slot.pair]! += siemens;
      else toZero[slot.row]! += siemens;
    }
    const slots = this.#bundles.map(({ netA, netK }) => slotOf(netA, netK));
    const siemens = Float64Array.from(values);
    const assembly = { plan: planFactor(count, pairs), toZero, siemens, slots };
    if (added.length === 0) this.#bare = assembly;
    return assembly;
  }
}

interface Assembly {
  readonly plan: Plan;
  readonly toZero: Float64Array;
  /** By pair, without junctions. */
  readonly siemens: Float64Array;
  /** By bundle. */
  readonly slots: readonly Slot[];
}

function busiest({ nodeCount, branches }: Network): number {
  const degree = new Int32Array(nodeCount);
  for (const { a, b } of branches) {
    degree[a]!++;
    degree[b]!++;
  }
  let best = 0;
  degree.forEach((value, node) => {
    if (value > (degree[best] as number)) best = node;
  });
  return best;
}
