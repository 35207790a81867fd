import { limitedStep, siemensAt, voltsFor } from './junction-law.ts';
import type { Bundle } from './junction-network.ts';
import { factorize, type Plan, planFactor, solveInPlace } from './kernel/ldl.ts';
import type { Branch, Network } from './network.ts';

/** Ties every island to the zero node, S; no meter reads as high. */
const TIE_SIEMENS = 1e-14;
const LEAST_OHMS = 1e-6;
const MOST_ITERATIONS = 200;
const CALM_FROM = 60;
/** Newton's next step would be the square of this over n·V_T. */
const SETTLED_VOLTS = 1e-6;

/**
 * Newton's method on all nodes of a network with junctions at once: for currents so low that most
 * junctions carry a share. The sparse factor is renewed in every iteration, its order only when
 * faults add branches.
 */
export class NodalNewton {
  readonly #network: Network;
  readonly #bundles: readonly Bundle[];
  readonly #row: Int32Array;
  /** By bundle: rows of both ends, −1 for the zero node. */
  readonly #rowA: Int32Array;
  readonly #rowK: Int32Array;
  #last: Assembly | undefined;

  constructor(network: Network, bundles: readonly Bundle[]) {
    this.#network = network;
    this.#bundles = bundles;
    const zero = busiest(network);
    this.#row = Int32Array.from({ length: network.nodeCount }, (_, node) =>
      node === zero ? -1 : node < zero ? node : node - 1,
    );
    this.#rowA = Int32Array.from(bundles, ({ netA }) => this.#row[netA] as number);
    this.#rowK = Int32Array.from(bundles, ({ netK }) => this.#row[netK] as number);
  }

  /**
   * V across every junction to start from.
   * @param guess V of a node where something is known of it, else NaN; a near one halves the iterations
   */
  startFrom(guess: (node: number) => number, amps: number): Float64Array {
    return Float64Array.from(this.#bundles, ({ netA, netK, law }) => {
      const volts = guess(netA) - guess(netK);
      return Number.isNaN(volts) ? 0 : Math.min(volts, voltsFor(law, amps));
    });
  }

  /**
   * V across two nodes for a current into `red` and out of `black`, beyond any meter when nothing
   * carries it; and V across every junction.
   */
  solve(
    red: number,
    black: number,
    added: readonly Branch[],
    amps: number,
    start: Float64Array,
  ): { volts: number; across: Float64Array } {
    const assembly = this.#assemble(added);
    const across = start.slice();
    const [rowR, rowB] = [this.#row[red] as number, this.#row[black] as number];
    const source = new Float64Array(assembly.plan.count);
    if (rowR >= 0) source[rowR]! += amps;
    if (rowB >= 0) source[rowB]! -= amps;
    let node: Float64Array = source;
    for (let iteration = 0; iteration < MOST_ITERATIONS; iteration++) {
      node = this.#linearized(assembly, source, across);
      if (this.#step(node, across, iteration < CALM_FROM ? 1 : 0.5)) break;
    }
    return { volts: at(node, rowR) - at(node, rowB), across };
  }

  /** V by row, with every junction in place of its tangent. */
  #linearized(
    { plan, pairs, toZero, siemens, slots }: Assembly,
    source: Float64Array,
    across: Float64Array,
  ): Float64Array {
    const here = siemens.slice();
    const down = toZero.slice();
    const rhs = source.slice();
    for (let k = 0; k < across.length; k++) {
      const volts = across[k] as number;
      const { law } = this.#bundles[k] as Bundle;
      const slope = siemensAt(law, volts);
      const rest = slope * (law.slopeVolts - volts) - law.saturationAmps; // Iₛ·eˣ is n·V_T·slope
      const slot = slots[k] as number;
      if (slot >= 0) here[slot]! += slope;
      else down[~slot]! += slope;
      const rowA = this.#rowA[k] as number;
      const rowK = this.#rowK[k] as number;
      if (rowA >= 0) rhs[rowA]! -= rest;
      if (rowK >= 0) rhs[rowK]! += rest;
    }
    solveInPlace(factorize({ count: plan.count, pairs, siemens: here, toZero: down }, plan), rhs);
    return rhs;
  }

  /** @returns whether nothing moved any more */
  #step(node: Float64Array, across: Float64Array, share: number): boolean {
    let isSettled = true;
    for (let k = 0; k < across.length; k++) {
      const from = across[k] as number;
      const to = at(node, this.#rowA[k] as number) - at(node, this.#rowK[k] as number);
      const { law } = this.#bundles[k] as Bundle;
      const next = from + share * (limitedStep(law, from, to) - from);
      if (Math.abs(next - from) > SETTLED_VOLTS * Math.max(1, Math.abs(next))) isSettled = false;
      across[k] = next;
    }
    return isSettled;
  }

  /** One after the other, the same faults are asked for at many points. */
  #assemble(added: readonly Branch[]): Assembly {
    const faults = added.map(({ a, b, ohms }) => `${a}-${b}@${ohms}`).join();
    if (this.#last?.faults === faults) return this.#last;
    const pairs: number[] = [];
    const values: number[] = [];
    const known = new Map<number, number>();
    const count = this.#network.nodeCount - 1;
    const toZero = new Float64Array(count).fill(TIE_SIEMENS);
    const slotOf = (a: number, b: number): number => {
      const ra = this.#row[a] as number;
      const rb = this.#row[b] as number;
      if (ra < 0 || rb < 0) return ~Math.max(ra, rb);
      const key = Math.min(ra, rb) * count + Math.max(ra, rb);
      let slot = known.get(key);
      if (slot === undefined) {
        slot = values.length;
        known.set(key, slot);
        pairs.push(ra, rb);
        values.push(0);
      }
      return slot;
    };
    for (const { a, b, ohms } of [...this.#network.branches, ...added]) {
      if (a === b) continue;
      const slot = slotOf(a, b);
      const siemens = 1 / Math.max(ohms, LEAST_OHMS);
      if (slot >= 0) values[slot]! += siemens;
      else toZero[~slot]! += siemens;
    }
    const slots = Int32Array.from(this.#bundles, ({ netA, netK }) => slotOf(netA, netK));
    const siemens = Float64Array.from(values);
    this.#last = { faults, plan: planFactor(count, pairs), pairs, toZero, siemens, slots };
    return this.#last;
  }
}

interface Assembly {
  /** Names the branches added. */
  readonly faults: string;
  readonly plan: Plan;
  readonly pairs: readonly number[];
  readonly toZero: Float64Array;
  /** By pair, without junctions. */
  readonly siemens: Float64Array;
  /** By bundle: the pair its conductance goes to, or where one end is the zero node, ~ the row. */
  readonly slots: Int32Array;
}

function at(volts: Float64Array, row: number): number {
  return row < 0 ? 0 : (volts[row] as number);
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
