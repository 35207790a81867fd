import type { MapFigures } from './figures.ts';
import { designator, type MapProblem } from './problem.ts';

type Floats = Float32Array | Float64Array;

/**
 * How strongly two points pull at each other before anything was read: near ones are likelier
 * joined, by place or, where no places are known, by their designators.
 */
export class Pull {
  readonly #problem: MapProblem;
  readonly #figures: MapFigures;
  /** mm on a side of the square that one point has for itself; NaN without places. */
  readonly #pitch: number;
  readonly #x: Float64Array;
  readonly #y: Float64Array;
  readonly #number: Float64Array;
  readonly #letters: Int32Array;
  readonly #part: Int32Array;
  /** 1 for pins of chips and connectors, which wires join far off. */
  readonly #roams: Int8Array;
  readonly #signalFall: Float64Array;
  readonly #railFall: Float64Array;

  constructor(problem: MapProblem, figures: MapFigures) {
    this.#problem = problem;
    this.#figures = figures;
    this.#signalFall = fallOf(figures.signalReach);
    this.#railFall = fallOf(figures.railReach);
    const { points, parts } = problem;
    this.#x = Float64Array.from(points, ({ at }) => at?.[0] ?? Number.NaN);
    this.#y = Float64Array.from(points, ({ at }) => at?.[1] ?? Number.NaN);
    this.#pitch = pitchOf(this.#x, this.#y);
    const names = parts.map(({ name }) => designator(name));
    const letters = [...new Set(names.map((each) => each.letters))];
    this.#number = Float64Array.from(points, ({ part }) => names[part]!.number);
    this.#letters = Int32Array.from(points, ({ part }) => letters.indexOf(names[part]!.letters));
    this.#part = Int32Array.from(points, ({ part }) => part);
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
      const at = Math.min(this.#distance(point, other), LONGEST) * STEPS;
      const floor = roams + this.#roams[other]! === 2 ? farSignal : farEnd;
      const net = netOf[other]!;
      signal[net]! += factor * (between(signalFall, at) + floor);
      rail[net]! += factor * between(railFall, at);
    }
  }

  /** In pitches. */
  #distance(a: number, b: number): number {
    const x = this.#x[a]! - this.#x[b]!;
    const y = this.#y[a]! - this.#y[b]!;
    const distance = Math.sqrt(x * x + y * y);
    if (distance >= 0) return distance / this.#pitch;
    const { numberStep, lettersStep } = this.#figures;
    const steps = Math.abs(this.#number[a]! - this.#number[b]!);
    const far = steps >= 0 ? Math.min(steps, FAR) : FAR;
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

/** Designators further apart than this say no less than those. */
const FAR = 40;

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
