import type { MapFigures } from './figures.ts';
import { designator, type MapPart, type MapProblem } from './problem.ts';

/** By point. */
export interface Masses {
  readonly signal: Float64Array;
  readonly rail: Float64Array;
}

type Floats = Float32Array | Float64Array;

/**
 * How strongly two points pull at each other before anything was read: near ones are likelier
 * joined, by place or, where no places are known, by their designators.
 */
export class Pull {
  readonly #problem: MapProblem;
  readonly #figures: MapFigures;
  /** Places in steps of the tables; NaN without. */
  readonly #x: Float64Array;
  readonly #y: Float64Array;
  readonly #number: Float64Array;
  readonly #letters: Int32Array;
  readonly #part: Int32Array;
  /** 1 for pins of chips and connectors, which wires join far off. */
  readonly #roams: Int8Array;
  /** By point, those of its name on parts of the same make. */
  readonly #twins: readonly (readonly number[])[];
  readonly #signalFall: Float64Array;
  readonly #railFall: Float64Array;

  constructor(problem: MapProblem, figures: MapFigures) {
    this.#problem = problem;
    this.#figures = figures;
    this.#signalFall = fallOf(figures.signalReach);
    this.#railFall = fallOf(figures.railReach);
    const { points, parts } = problem;
    const x = Float64Array.from(points, ({ at }) => at?.[0] ?? Number.NaN);
    const y = Float64Array.from(points, ({ at }) => at?.[1] ?? Number.NaN);
    const pitch = pitchOf(x, y);
    this.#x = x.map((value) => (value / pitch) * STEPS);
    this.#y = y.map((value) => (value / pitch) * STEPS);
    const names = parts.map(({ name }) => designator(name));
    const letters = [...new Set(names.map((each) => each.letters))];
    this.#number = Float64Array.from(points, ({ part }) => names[part]!.number);
    this.#letters = Int32Array.from(points, ({ part }) => letters.indexOf(names[part]!.letters));
    this.#part = Int32Array.from(points, ({ part }) => part);
    this.#twins = twinsOf(problem);
    this.#roams = Int8Array.from(points, ({ part }) => (parts[part]!.points.length > 4 ? 1 : 0));
  }

  /**
   * Adds a point's pull to every net, as points of one signal and as points of one rail.
   * @param netOf by point, its net: where in `signal` and `rail` its pull is added
   */
  addTo(signal: Floats, rail: Floats, point: number, netOf: Int32Array): void {
    const { ownPart, farSignal, farEnd } = this.#figures;
    const part = this.#part[point]!;
    const own = this.#problem.parts[part]!.isApart ? 0 : ownPart;
    const roams = this.#roams[point]!;
    const signalFall = this.#signalFall;
    const railFall = this.#railFall;
    for (let other = 0; other < netOf.length; other++) {
      if (other === point) continue;
      const factor = this.#part[other] === part ? own : 1;
      if (factor === 0) continue;
      const at = this.#distance(point, other);
      const floor = roams + this.#roams[other]! === 2 ? farSignal : farEnd;
      const net = netOf[other]!;
      signal[net]! += factor * (between(signalFall, at) + floor);
      rail[net]! += factor * between(railFall, at);
    }
    for (const other of this.#twins[point]!) signal[netOf[other]!]! += this.#figures.twin;
  }

  /**
   * What all other points together pull at each, by points.
   * @param signalWeight by point, what its pull counts for
   */
  masses(signalWeight: Float64Array, railWeight: Float64Array): Masses {
    const { ownPart, farSignal, farEnd } = this.#figures;
    const { parts } = this.#problem;
    const count = signalWeight.length;
    const signal = new Float64Array(count);
    const rail = new Float64Array(count);
    for (let one = 0; one < count; one++) {
      const part = this.#part[one]!;
      const own = parts[part]!.isApart ? 0 : ownPart;
      const roams = this.#roams[one]!;
      for (let other = 0; other < one; other++) {
        const factor = this.#part[other] === part ? own : 1;
        const at = this.#distance(one, other);
        const floor = roams + this.#roams[other]! === 2 ? farSignal : farEnd;
        const s = factor * (between(this.#signalFall, at) + floor);
        const r = factor * between(this.#railFall, at);
        signal[one]! += s * signalWeight[other]!;
        signal[other]! += s * signalWeight[one]!;
        rail[one]! += r * railWeight[other]!;
        rail[other]! += r * railWeight[one]!;
      }
      const { twin } = this.#figures;
      for (const other of this.#twins[one]!) signal[one]! += twin * signalWeight[other]!;
    }
    return { signal, rail };
  }

  /** In steps of the tables, at most their last. */
  #distance(a: number, b: number): number {
    const x = this.#x[a]! - this.#x[b]!;
    const y = this.#y[a]! - this.#y[b]!;
    const steps = Math.sqrt(x * x + y * y);
    return Math.min(steps >= 0 ? steps : STEPS * this.#byName(a, b), LONGEST * STEPS);
  }

  /** In pitches, where no places are known. */
  #byName(a: number, b: number): number {
    const { numberStep, lettersStep } = this.#figures;
    const apart = Math.abs(this.#number[a]! - this.#number[b]!);
    const far = apart >= 0 ? Math.min(apart, FAR) : FAR;
    return (this.#letters[a] === this.#letters[b] ? 0 : lettersStep) + far * numberStep;
  }
}

/** Pitches, and entries for each, of a table of the fall; what is further off pulls as from there. */
const LONGEST = 200;
const STEPS = 32;

/** (1 + distance)^-reach by steps of distance: a power for each pair would be most of the time of a step. */
function fallOf(reach: number): Float64Array {
  return Float64Array.from({ length: LONGEST * STEPS + 2 }, (_, at) => (1 + at / STEPS) ** -reach);
}

function between(fall: Float64Array, at: number): number {
  const whole = at | 0;
  const from = fall[whole]!;
  return from + (fall[whole + 1]! - from) * (at - whole);
}

function twinsOf({ points, parts }: MapProblem): readonly (readonly number[])[] {
  const alike = new Map<number, MapPart[]>();
  for (const part of parts) {
    if (part.sort !== undefined) alike.set(part.sort, [...(alike.get(part.sort) ?? []), part]);
  }
  const twins: number[][] = points.map(() => []);
  for (const group of alike.values()) {
    for (const one of group) {
      for (const other of group) {
        if (other === one) continue;
        for (const [at, point] of one.points.entries()) twins[point]?.push(other.points[at] ?? -1);
      }
    }
  }
  return twins;
}

/** Designators further apart than this say no less than those. */
const FAR = 40;

/** mm on a side of the square that one point has for itself; NaN without places. */
function pitchOf(x: Float64Array, y: Float64Array): number {
  const xs = x.filter((value) => !Number.isNaN(value)).sort();
  const ys = y.filter((value) => !Number.isNaN(value)).sort();
  if (xs.length < 2) return Number.NaN;
  // The outermost points may be far-off connectors.
  const last = xs.length - 1;
  const span = (values: Float64Array): number =>
    Math.max(1, values[Math.floor(0.95 * last)]! - values[Math.ceil(0.05 * last)]!);
  return Math.max(0.1, Math.sqrt((span(xs) * span(ys)) / xs.length));
}
