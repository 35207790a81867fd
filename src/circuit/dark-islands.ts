import { voltsFor } from './junction-law.ts';
import type { Bundle } from './junction-network.ts';
import type { Branch, Network } from './network.ts';
import type { PortSystem } from './port-system.ts';

/** A step over a junction: into `group`, from `from`. */
interface Step {
  readonly junction: number;
  readonly from: number;
  readonly into: number;
  /** Its nodes on either side. */
  readonly start: number;
  readonly end: number;
  /** V it takes before a current counts. */
  readonly volts: number;
  /** V it takes before many such together would count. */
  readonly leastVolts: number;
}

/** Of a current that counts; so many ways side by side are still noticed. */
const MANY_SHARE = 0.02;

/**
 * Islands of the resistor network (as faults join them) and the junctions between them. An island
 * that only dark junctions touch has no voltage of its own; it may still pass current on from one
 * junction to another.
 */
export class DarkIslands {
  readonly #group: (node: number) => number;
  readonly #islandCount: number;
  readonly #steps: readonly Step[];

  /** @param counts A, from which on a current counts */
  constructor(
    network: Network,
    junctions: readonly Bundle[],
    added: readonly Branch[],
    counts: number,
  ) {
    this.#group = groupsOf(network, added);
    this.#islandCount = network.islandCount;
    const steps: Step[] = [];
    junctions.forEach(({ netA, netK, law }, junction) => {
      const from = this.#group(netA);
      const into = this.#group(netK);
      if (from === into) return;
      const volts = voltsFor(law, counts);
      const leastVolts = voltsFor(law, counts * MANY_SHARE);
      steps.push({ junction, from, into, start: netA, end: netK, volts, leastVolts });
      // One that leaks as much backwards conducts both ways.
      if (law.saturationAmps > counts * MANY_SHARE) {
        const isOpen = law.saturationAmps > counts;
        const back = isOpen ? 0 : Number.POSITIVE_INFINITY;
        steps.push({
          junction,
          from: into,
          into: from,
          start: netK,
          end: netA,
          volts: back,
          leastVolts: 0,
        });
      }
    });
    this.#steps = steps;
  }

  /**
   * The way from one node to another over which a current that counts takes least: a bound from
   * below on the voltage across them, as no circuit carries the whole current otherwise.
   * @returns undefined when there is none
   */
  wayOver(red: number, black: number): { junctions: number[]; volts: number } | undefined {
    const to = this.#group(black);
    const least = new Float64Array(this.#islandCount).fill(Number.POSITIVE_INFINITY);
    const cameBy: (Step | undefined)[] = [];
    least[this.#group(red)] = 0;
    for (let moved = true; moved; ) {
      moved = false;
      for (const step of this.#steps) {
        const volts = (least[step.from] as number) + step.volts;
        if (volts >= (least[step.into] as number)) continue;
        least[step.into] = volts;
        cameBy[step.into] = step;
        moved = true;
      }
    }
    const volts = least[to] as number;
    if (volts === Number.POSITIVE_INFINITY) return undefined;
    const junctions: number[] = [];
    for (let step = cameBy[to]; step !== undefined; step = cameBy[step.from]) {
      junctions.push(step.junction);
    }
    return { junctions, volts };
  }

  /**
   * Junctions along one way between two nodes of known voltage, over islands without one, that the
   * voltage between its ends would turn on; empty when there is none.
   */
  conducting(
    system: PortSystem,
    at: (node: number) => number,
    taken: ReadonlySet<number>,
  ): number[] {
    const steps = this.#steps.filter(({ junction }) => !taken.has(junction));
    // The highest voltage that reaches each island in the dark, less what the junctions take.
    const best = new Float64Array(this.#islandCount).fill(Number.NEGATIVE_INFINITY);
    const cameBy: (Step | undefined)[] = [];
    for (let moved = true; moved; ) {
      moved = false;
      for (const step of steps) {
        const { start, end, from, into } = step;
        const isKnown = system.knows(start);
        const volts = (isKnown ? at(start) : (best[from] as number)) - step.leastVolts;
        if (volts <= (best[into] as number)) continue;
        if (!system.knows(end)) {
          best[into] = volts;
          cameBy[into] = step;
          moved = true;
        } else if (!isKnown && volts > at(end)) {
          return [step.junction, ...this.#back(cameBy, step)];
        }
      }
    }
    return [];
  }

  #back(cameBy: readonly (Step | undefined)[], last: Step): number[] {
    const way: number[] = [];
    let step = cameBy[last.from];
    while (step !== undefined && way.length < this.#islandCount) {
      way.push(step.junction);
      step = cameBy[step.from];
    }
    return way;
  }
}

/** Islands of a network as faults join them, by a number that is the same for all their nodes. */
function groupsOf({ island }: Network, added: readonly Branch[]): (node: number) => number {
  const joined = new Map<number, number>();
  const top = (at: number): number => {
    let group = at;
    for (let up = joined.get(group); up !== undefined; up = joined.get(group)) group = up;
    return group;
  };
  for (const { a, b } of added) {
    const ga = top(island[a] as number);
    const gb = top(island[b] as number);
    if (ga !== gb) joined.set(ga, gb);
  }
  return (node) => top(island[node] as number);
}
