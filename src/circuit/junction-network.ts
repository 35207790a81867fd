import { DarkIslands } from './dark-islands.ts';
import { ampsAt, type JunctionLaw, junctionLaw, voltsFor } from './junction-law.ts';
import type { Branch, Network } from './network.ts';
import { NodalNewton } from './nodal-newton.ts';
import { PortSystem } from './port-system.ts';

/** A junction between two nodes. */
export interface Junction {
  readonly netA: number;
  readonly netK: number;
  /** Forward voltage at 1 mA, V. */
  readonly volts: number;
  /** Emission coefficient n. */
  readonly slope: number;
}

/** All junctions of one law between the same two nodes. */
export interface Bundle {
  readonly netA: number;
  readonly netK: number;
  readonly law: JunctionLaw;
}

/** A junction that could carry less than this share of the meter's current is no way for it. */
const COUNTS_RATIO = 5e-4;
/** Junctions left out of the equations carry no more than this share of it together. */
const LEFT_OUT_RATIO = 2e-4;
/** Resistances alone answer while all junctions together could carry no more than this share. */
const DARK_RATIO = 1e-4;
/** Of what may be left out, a junction that carries less is never taken in. */
const LEAST_SHARE = 1e-3;
/** With more junctions than this in the equations, all nodes at once are faster. */
const MOST_TAKEN = 16;
/** Answers kept; all go when there are more. */
const MOST_ANSWERS = 10_000;
/** A reading of as much is near to no other: what carries it leaks. */
const FAR_VOLTS = 100;
/** Voltages across junctions kept to start from. */
const KEPT_VOLTS = 4e6;
/** Junctions taken into the equations at once, and how often. */
const TAKEN_AT_ONCE = 8;
const MOST_ROUNDS = 80;

/**
 * A resistor network with junctions. Only junctions whose share of the meter's current counts enter
 * the equations; which they are is found by adding those that the solution so far would turn on.
 * There is one solution: the co-content of resistances and junctions is convex.
 */
export class JunctionNetwork {
  readonly #linear: Network;
  readonly #junctions: readonly Bundle[];
  #nodal: NodalNewton | undefined;
  readonly #answers = new Map<string, number>();
  /** By points and current: V across every junction without faults, where all nodes had to be solved. */
  readonly #plain = new Map<string, Float64Array>();
  readonly #mostPlain: number;
  #dark: { readonly faults: string; readonly islands: DarkIslands } | undefined;

  constructor(linear: Network, junctions: readonly Junction[]) {
    this.#linear = linear;
    this.#junctions = bundled(junctions);
    this.#mostPlain = Math.max(4, Math.floor(KEPT_VOLTS / this.#junctions.length));
  }

  /** True when all junctions, each with the whole of `volts` across it, carry nothing that counts. */
  isDark(volts: number, amps: number): boolean {
    let sum = 0;
    for (const { law } of this.#junctions) sum += ampsAt(law, volts);
    return sum < DARK_RATIO * amps;
  }

  /**
   * V across the points for a current into `red` and out of `black`; Infinity when nothing carries
   * it, and where it is plain from the start that it would take more than `ceiling`.
   */
  volts(
    red: number,
    black: number,
    added: readonly Branch[],
    amps: number,
    ceiling: number = Number.POSITIVE_INFINITY,
  ): number {
    // The reasoning asks the same of the same circuit reading after reading.
    const faults = added.map(({ a, b, ohms }) => `${a}-${b}@${ohms}`).join();
    const key = `${red}/${black}/${amps}/${ceiling}/${faults}`;
    let volts = this.#answers.get(key);
    if (volts === undefined) {
      volts = this.#solve(red, black, added, amps, ceiling);
      if (this.#answers.size >= MOST_ANSWERS) this.#answers.clear();
      this.#answers.set(key, volts);
    }
    return volts;
  }

  #solve(
    red: number,
    black: number,
    added: readonly Branch[],
    amps: number,
    ceiling: number,
  ): number {
    // No more than half the current can pass through junctions that each carry less.
    const counts = Math.min(COUNTS_RATIO, 0.5 / this.#junctions.length) * amps;
    const dark = this.#darkFor(added, counts);
    const system = new PortSystem(this.#linear, red, black, amps);
    // Faults on islands that nothing ties to the points would leave these afloat.
    const waiting = added.filter(({ a, b }) => a !== b);
    const taken = new Set<number>();
    const admit = (): void => {
      for (let k = 0; k < waiting.length; ) {
        const { a, b, ohms } = waiting[k] as Branch;
        if (system.knows(a) || system.knows(b)) {
          system.add({ a, b, is: ohms }, 0);
          waiting.splice(k, 1);
          k = 0;
        } else k++;
      }
    };
    const take = (k: number): void => {
      const { netA, netK, law } = this.#junctions[k] as Bundle;
      taken.add(k);
      system.add({ a: netA, b: netK, is: law }, voltsFor(law, amps));
    };
    const way = dark.wayOver(red, black);
    if (way === undefined || way.volts > ceiling) return Number.POSITIVE_INFINITY;
    const start = this.#plainStart(red, black, added, amps, ceiling);
    if (start !== undefined) return this.#all().solve(red, black, added, amps, start).volts;
    for (const k of way.junctions) take(k);
    admit();
    for (let round = 0; round < MOST_ROUNDS; round++) {
      // Circles now and then between junctions of very unlike currents; all nodes at once do not.
      if (!system.settle()) return this.#byNodes(red, black, added, amps, () => Number.NaN);
      const at = system.voltages();
      const more = this.#turnedOn(system, at, taken, LEFT_OUT_RATIO * amps);
      if (more.length === 0) {
        for (const k of dark.conducting(system, at, taken)) if (!taken.has(k)) more.push(k);
      }
      if (more.length === 0) break;
      if (taken.size + more.length > MOST_TAKEN) {
        const guess = (node: number): number => (system.knows(node) ? at(node) : Number.NaN);
        return this.#byNodes(red, black, added, amps, guess);
      }
      for (const k of more) take(k);
      admit();
    }
    const at = system.voltages();
    return at(red) - at(black);
  }

  /** What faults change of a reading is most often little: the board without them is a near start. */
  #plainStart(
    red: number,
    black: number,
    added: readonly Branch[],
    amps: number,
    ceiling: number,
  ): Float64Array | undefined {
    if (added.length === 0) return undefined;
    const plain = this.volts(red, black, [], amps, ceiling);
    return plain < FAR_VOLTS ? this.#plain.get(`${red}/${black}/${amps}`) : undefined;
  }

  #byNodes(
    red: number,
    black: number,
    added: readonly Branch[],
    amps: number,
    guess: (node: number) => number,
  ): number {
    const nodes = this.#all();
    const { volts, across } = nodes.solve(red, black, added, amps, nodes.startFrom(guess, amps));
    if (added.length === 0) {
      if (this.#plain.size >= this.#mostPlain) this.#plain.clear();
      this.#plain.set(`${red}/${black}/${amps}`, across);
    }
    return volts;
  }

  #all(): NodalNewton {
    this.#nodal ??= new NodalNewton(this.#linear, this.#junctions);
    return this.#nodal;
  }

  #darkFor(added: readonly Branch[], counts: number): DarkIslands {
    // One after the other, the same faults are asked for at many points.
    const faults = `${counts}/${added.map(({ a, b, ohms }) => `${a}-${b}@${ohms}`).join()}`;
    if (this.#dark?.faults !== faults) {
      const islands = new DarkIslands(this.#linear, this.#junctions, added, counts);
      this.#dark = { faults, islands };
    }
    return this.#dark.islands;
  }

  /** The junctions between nodes of known voltage, not in the equations yet, that carry most. */
  #turnedOn(
    system: PortSystem,
    at: (node: number) => number,
    taken: ReadonlySet<number>,
    leftOut: number,
  ): number[] {
    const found: { k: number; amps: number }[] = [];
    let sum = 0;
    for (let k = 0; k < this.#junctions.length; k++) {
      const { netA, netK, law } = this.#junctions[k] as Bundle;
      if (!system.knows(netA) || !system.knows(netK) || taken.has(k)) continue;
      const amps = Math.abs(ampsAt(law, at(netA) - at(netK)));
      sum += amps;
      if (amps > leftOut * LEAST_SHARE) found.push({ k, amps });
    }
    if (sum < leftOut) return [];
    found.sort((x, y) => y.amps - x.amps || x.k - y.k);
    return found.slice(0, TAKEN_AT_ONCE).map(({ k }) => k);
  }
}

/** Junctions side by side are one of as many times the saturation current. */
export function bundled(junctions: readonly Junction[]): Bundle[] {
  const found = new Map<string, { first: Junction; count: number }>();
  for (const first of junctions) {
    const key = `${first.netA}/${first.netK}/${first.volts}/${first.slope}`;
    const held = found.get(key);
    if (held === undefined) found.set(key, { first, count: 1 });
    else held.count++;
  }
  return [...found.values()].map(({ first: { netA, netK, volts, slope }, count }) => {
    const { saturationAmps, slopeVolts } = junctionLaw(volts, slope);
    return { netA, netK, law: { saturationAmps: count * saturationAmps, slopeVolts } };
  });
}
