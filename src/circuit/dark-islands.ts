import { voltsFor } from './junction-law.ts';
import type { Bundle } from './junction-network.ts';
import type { Branch, Network } from './network.ts';
import type { PortSystem } from './port-system.ts';

/** A step over a junction: into `group`, from `from`. */
interface Step {
  readonly junction: number;
  readonly from: number;
  readonly into: number;
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
  readonly #steps: readonly Step[];

  /** @param counts A, from which on a current counts */
  constructor(
    network: Network,
    junctions: readonly Bundle[],
    added: readonly Branch[],
    counts: number,
  ) {
    this.#group = groupsOf(network, added);
    const steps: Step[] = [];
    junctions.forEach(({ netA, netK, law }, junction) => {
      const from = this.#group(netA);
      const into = this.#group(netK);
      if (from === into) return;
      const volts = voltsFor(law, counts);
      const leastVolts = voltsFor(law, counts * MANY_SHARE);
      steps.push({ junction, from, into, volts, leastVolts });
      // One that leaks as much backwards conducts both ways.
      if (law.saturationAmps > counts * MANY_SHARE) {
        const isOpen = law.saturationAmps > counts;
        const back = isOpen ? 0 : Number.POSITIVE_INFINITY;
        steps.push({ junction, from: into, into: from, volts: back, leastVolts: 0 });
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
    const cameBy = new Map<number, { volts: number; step?: Step }>();
    cameBy.set(this.#group(red), { volts: 0 });
    for (let moved = true; moved; ) {
      moved = false;
      for (const step of this.#steps) {
        const volts = (cameBy.get(step.from)?.volts ?? Number.POSITIVE_INFINITY) + step.volts;
        if (volts >= (cameBy.get(step.into)?.volts ?? Number.POSITIVE_INFINITY)) continue;
        cameBy.set(step.into, { volts, step });
        moved = true;
      }
    }
    const end = cameBy.get(to);
    if (end === undefined) return undefined;
    const junctions: number[] = [];
    for (let { step } = end; step !== undefined; step = cameBy.get(step.from)?.step) {
      junctions.push(step.junction);
    }
    return { junctions, volts: end.volts };
  }

  /**
   * Junctions along one way between two nodes of known voltage, over islands without one, that the
   * voltage between its ends would turn on; empty when there is none.
   */
  conducting(
    system: PortSystem,
    at: (node: number) => number,
    junctions: readonly Bundle[],
    taken: ReadonlySet<number>,
  ): number[] {
    const steps = this.#steps.filter(({ junction }) => !taken.has(junction));
    const isKnown = (node: number): boolean => system.knows(node);
    // The highest voltage that reaches each island in the dark, less what the junctions take.
    const best = new Map<number, { volts: number; step: Step }>();
    for (let moved = true; moved; ) {
      moved = false;
      for (const step of steps) {
        const { netA, netK } = junctions[step.junction] as Bundle;
        const isForward = this.#group(netA) === step.from;
        const [start, end] = isForward ? [netA, netK] : [netK, netA];
        const from = isKnown(start) ? at(start) : best.get(step.from)?.volts;
        if (from === undefined) continue;
        const volts = from - step.leastVolts;
        if (isKnown(end)) {
          if (!isKnown(start) && volts > at(end)) return [step.junction, ...this.#back(best, step)];
        } else if (volts > (best.get(step.into)?.volts ?? Number.NEGATIVE_INFINITY)) {
          best.set(step.into, { volts, step });
          moved = true;
        }
      }
    }
    return [];
  }

  #back(best: ReadonlyMap<number, { readonly step: Step }>, last: Step): number[] {
    const way: number[] = [];
    let step = best.get(last.from)?.step;
    while (step !== undefined && way.length < best.size) {
      way.push(step.junction);
      step = best.get(step.from)?.step;
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
