import type { MapFigures } from './figures.ts';
import { designator, type MapProblem } from './problem.ts';

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

  constructor(problem: MapProblem, figures: MapFigures) {
    this.#problem = problem;
    this.#figures = figures;
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

  /** Adds a point's pull to every point, as points of one signal and as points of one rail. */
  addTo(signal: Float32Array, rail: Float32Array, point: number): void {
    const { ownPart, signalReach, railReach, farSignal, farEnd } = this.#figures;
    const part = this.#part[point]!;
    const isApart = this.#problem.parts[part]!.isApart;
    const roams = this.#roams[point]!;
    for (let other = 0; other < signal.length; other++) {
      if (other === point) continue;
      const isOwn = this.#part[other] === part;
      if (isOwn && isApart) continue;
      const distance = 1 + this.#distance(point, other);
      const factor = isOwn ? ownPart : 1;
      const floor = roams + this.#roams[other]! === 2 ? farSignal : farEnd;
      signal[other]! += factor * (distance ** -signalReach + floor);
      rail[other]! += factor * distance ** -railReach;
    }
  }

  /** In pitches. */
  #distance(a: number, b: number): number {
    const distance = Math.hypot(this.#x[a]! - this.#x[b]!, this.#y[a]! - this.#y[b]!);
    if (distance >= 0) return distance / this.#pitch;
    const { numberStep, lettersStep } = this.#figures;
    const steps = Math.abs(this.#number[a]! - this.#number[b]!);
    const far = steps >= 0 ? Math.min(steps, FAR) : FAR;
    return (this.#letters[a] === this.#letters[b] ? 0 : lettersStep) + far * numberStep;
  }
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
