import { DarkIslands } from './dark-islands.ts';
import { ampsAt, type JunctionLaw, junctionLaw, voltsFor } from './junction-law.ts';
import type { Branch, Network } from './network.ts';
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

/** Currents below this share of the meter's do not count. */
const COUNTS_RATIO = 1e-5;
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
  readonly #junctions: readonly Junction[];
  readonly #laws: readonly JunctionLaw[];
  /** By distinct law: how many junctions obey it. */
  readonly #counts: ReadonlyMap<JunctionLaw, number>;

  constructor(linear: Network, junctions: readonly Junction[]) {
    this.#linear = linear;
    this.#junctions = junctions;
    const known = new Map<string, JunctionLaw>();
    this.#laws = junctions.map(({ volts, slope }) => {
      const key = `${volts}/${slope}`;
      const law = known.get(key) ?? junctionLaw(volts, slope);
      known.set(key, law);
      return law;
    });
    const counts = new Map<JunctionLaw, number>();
    for (const law of this.#laws) counts.set(law, (counts.get(law) ?? 0) + 1);
    this.#counts = counts;
  }

  /** True when all junctions, each with the whole of `volts` across it, carry nothing that counts. */
  isDark(volts: number, amps: number): boolean {
    let sum = 0;
    for (const [law, count] of this.#counts) sum += count * ampsAt(law, volts);
    return sum < COUNTS_RATIO * amps;
  }

  /** V across the points for a current into `red` and out of `black`; Infinity when nothing carries it. */
  volts(red: number, black: number, added: readonly Branch[], amps: number): number {
    const counts = COUNTS_RATIO * amps;
    const dark = new DarkIslands(this.#linear, this.#junctions, this.#laws, added, counts);
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
      const { netA, netK } = this.#junctions[k] as Junction;
      const law = this.#laws[k] as JunctionLaw;
      taken.add(k);
      system.add({ a: netA, b: netK, is: law }, voltsFor(law, amps));
    };
    const way = dark.wayOver(red, black);
    if (way === undefined) return Number.POSITIVE_INFINITY;
    for (const k of way) take(k);
    admit();
    for (let round = 0; round < MOST_ROUNDS; round++) {
      system.settle();
      const at = system.voltages();
      const more = this.#turnedOn(system, at, taken, counts);
      if (more.length === 0) {
        for (const k of dark.conducting(system, at, this.#junctions, taken))
          if (!taken.has(k)) more.push(k);
      }
      if (more.length === 0) break;
      for (const k of more) take(k);
      admit();
    }
    const at = system.voltages();
    return at(red) - at(black);
  }

  /** The junctions between nodes of known voltage, not in the equations yet, that carry most. */
  #turnedOn(
    system: PortSystem,
    at: (node: number) => number,
    taken: ReadonlySet<number>,
    counts: number,
  ): number[] {
    const found: { k: number; volts: number }[] = [];
    this.#junctions.forEach(({ netA, netK }, k) => {
      if (taken.has(k) || !system.knows(netA) || !system.knows(netK)) return;
      const volts = at(netA) - at(netK);
      if (Math.abs(ampsAt(this.#laws[k] as JunctionLaw, volts)) > counts) found.push({ k, volts });
    });
    found.sort((x, y) => y.volts - x.volts || x.k - y.k);
    return found.slice(0, TAKEN_AT_ONCE).map(({ k }) => k);
  }
}
