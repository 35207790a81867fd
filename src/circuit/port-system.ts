import { eliminate } from './dense.ts';
import { ampsAt, type JunctionLaw, limitedStep, siemensAt } from './junction-law.ts';
import type { Network } from './network.ts';

/** A short of less is told from this by no meter; exact zeros side by side would be singular. */
const LEAST_OHMS = 1e-6;
/** Beside every junction, S: what a junction turned off still passes, so that nothing floats. */
const LEAK_SIEMENS = 1e-13;
const MOST_ITERATIONS = 100;
/** From this iteration on steps are halved, should the full ones circle. */
const CALM_FROM = 60;
const SETTLED_VOLTS = 1e-9;
/** A junction driven further back than this carries what no meter's current can be. */
const LOST_VOLTS = 1e6;

/** What hangs on a network at two nodes: a resistance, or a junction from `a` to `b`. */
export interface Port {
  readonly a: number;
  readonly b: number;
  /** Ω, or the law of a junction. */
  readonly is: number | JunctionLaw;
}

/**
 * A resistor network with a current source across two nodes and a few ports hung on it, as a dense
 * system over kept columns of the network. Unknown are the voltage of every junction, the current
 * of every resistance, and by how much each island that ports reach lies above that of the black
 * point; an island takes in as much current as it gives out.
 */
export class PortSystem {
  readonly #network: Network;
  readonly #red: number;
  readonly #black: number;
  readonly #amps: number;
  readonly #ports: Port[] = [];
  /** By port: V with no port carrying current, within islands. */
  readonly #open: number[] = [];
  /** By port, by port: V dropped by 1 A through the other, within islands. */
  readonly #coupling: number[][] = [];
  /** By port: V across junctions, A through resistances. */
  readonly #unknown: number[] = [];
  /**
   * By port: A as the last system had it. Taken from the law anew, the last digit of a voltage
   * would be a current that drops volts along megohms.
   */
  readonly #current: number[] = [];
  /** Island → its place among the offsets; the black point's is −1. */
  readonly #place = new Map<number, number>();
  #offsets: Float64Array = new Float64Array(0);

  constructor(network: Network, red: number, black: number, amps: number) {
    this.#network = network;
    this.#red = red;
    this.#black = black;
    this.#amps = amps;
    this.#place.set(network.island[black] as number, -1);
    this.#enter(red);
  }

  /** True when the voltage of a node is known: ports or resistances tie it to the points. */
  knows(node: number): boolean {
    return this.#place.has(this.#network.island[node] as number);
  }

  #enter(node: number): void {
    if (!this.knows(node)) {
      this.#place.set(this.#network.island[node] as number, this.#place.size - 1);
    }
  }

  /** @param start first guess: V across a junction, A through a resistance */
  add(port: Port, start: number): void {
    const { a, b } = port;
    const ca = this.#network.column(a);
    const cb = this.#network.column(b);
    const drop = (x: number, y: number): number =>
      (ca[x] as number) - (cb[x] as number) - ((ca[y] as number) - (cb[y] as number));
    this.#open.push(this.#amps * drop(this.#red, this.#black));
    this.#ports.push(port);
    const row = this.#ports.map((other) => drop(other.a, other.b));
    row.slice(0, -1).forEach((value, k) => {
      this.#coupling[k]?.push(value);
    });
    this.#coupling.push(row);
    this.#unknown.push(start);
    this.#current.push(0);
    this.#enter(a);
    this.#enter(b);
  }

  /**
   * Newton's method from where the last call ended; small steps where it would overshoot.
   * @returns whether it came to rest
   */
  settle(): boolean {
    const size = this.#ports.length + this.#place.size - 1;
    if (size === 0) return true;
    for (let iteration = 0; iteration < MOST_ITERATIONS; iteration++) {
      const m = this.#linearized(size);
      eliminate(m, size, size + 1);
      if (this.#step(m, size, iteration < CALM_FROM ? 1 : 0.5)) return true;
    }
    return false;
  }

  /** Rows and columns: ports, then islands; last column the right-hand side. */
  #linearized(size: number): Float64Array {
    const width = size + 1;
    const m = new Float64Array(size * width);
    const count = this.#ports.length;
    for (let r = 0; r < count; r++) m[r * width + size] = this.#open[r] as number;
    this.#inject(m, size, this.#red, this.#amps);
    this.#inject(m, size, this.#black, -this.#amps);
    this.#ports.forEach((port, c) => {
      const { slope, rest } = this.#line(c);
      for (let r = 0; r < count; r++) {
        const coupled = (this.#coupling[r] as number[])[c] as number;
        m[r * width + c] = coupled * slope;
        m[r * width + size]! -= coupled * rest;
      }
      m[c * width + c]! += typeof port.is === 'number' ? Math.max(port.is, LEAST_OHMS) : 1;
      this.#tie(m, size, c, port.a, slope, rest, 1);
      this.#tie(m, size, c, port.b, slope, rest, -1);
    });
    return m;
  }

  #inject(m: Float64Array, size: number, node: number, amps: number): void {
    const at = this.#placeOf(node);
    if (at >= 0) m[(this.#ports.length + at) * (size + 1) + size]! += amps;
  }

  /** One end of a port: its island's offset in the port's row, the port's current in the island's. */
  #tie(
    m: Float64Array,
    size: number,
    c: number,
    node: number,
    slope: number,
    rest: number,
    sign: number,
  ): void {
    const at = this.#placeOf(node);
    if (at < 0) return;
    const row = this.#ports.length + at;
    m[c * (size + 1) + row]! -= sign;
    m[row * (size + 1) + c]! += sign * slope;
    m[row * (size + 1) + size]! -= sign * rest;
  }

  #placeOf(node: number): number {
    return this.#place.get(this.#network.island[node] as number) ?? -1;
  }

  /** The current of a port as `slope · unknown + rest`. */
  #line(k: number): { slope: number; rest: number } {
    const { is } = this.#ports[k] as Port;
    if (typeof is === 'number') return { slope: 1, rest: 0 };
    const volts = this.#unknown[k] as number;
    const slope = siemensAt(is, volts);
    return { slope: slope + LEAK_SIEMENS, rest: ampsAt(is, volts) - slope * volts };
  }

  /** @returns whether nothing moved any more */
  #step(m: Float64Array, size: number, share: number): boolean {
    let isSettled = true;
    this.#ports.forEach(({ is }, k) => {
      const to = m[k * (size + 1) + size] as number;
      const { slope, rest } = this.#line(k);
      this.#current[k] = slope * to + rest;
      if (typeof is === 'number') {
        this.#unknown[k] = to;
        return;
      }
      const from = this.#unknown[k] as number;
      const bounded = Math.max(-LOST_VOLTS, Math.min(to, LOST_VOLTS));
      const next = from + share * (limitedStep(is, from, bounded) - from);
      if (Math.abs(next - from) > SETTLED_VOLTS) isSettled = false;
      this.#unknown[k] = next;
    });
    this.#offsets = Float64Array.from({ length: this.#place.size - 1 }, (_, at) => {
      return m[(this.#ports.length + at) * (size + 1) + size] as number;
    });
    return isSettled;
  }

  /** V of a node whose voltage is known, above the zero of the black point's island. */
  voltages(): (node: number) => number {
    const red = this.#network.column(this.#red);
    const black = this.#network.column(this.#black);
    const ends = this.#ports.map(({ a, b }, k) => ({
      ca: this.#network.column(a),
      cb: this.#network.column(b),
      amps: this.#current[k] as number,
    }));
    const known = new Float64Array(this.#network.nodeCount).fill(Number.NaN);
    return (node) => {
      const held = known[node] as number;
      if (!Number.isNaN(held)) return held;
      const at = this.#placeOf(node);
      let volts = at < 0 ? 0 : (this.#offsets[at] ?? 0);
      volts += this.#amps * ((red[node] as number) - (black[node] as number));
      for (const { ca, cb, amps } of ends) {
        volts -= amps * ((ca[node] as number) - (cb[node] as number));
      }
      known[node] = volts;
      return volts;
    };
  }
}
