import { type JunctionLaw, voltsFor } from './junction-law.ts';
import type { Junction } from './junction-network.ts';
import type { Branch, Network } from './network.ts';
import type { PortSystem } from './port-system.ts';

/** A step over a junction: into `group`, from `from`. */
interface Step {
  readonly junction: number;
  readonly from: number;
  readonly into: number;
  /** V it takes before a current counts. */
  readonly volts: number;
}

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
    junctions: readonly Junction[],
    laws: readonly JunctionLaw[],
    added: readonly Branch[],
    counts: number,
  ) {
    this.#group = groupsOf(network, added);
    const steps: Step[] = [];
    junctions.forEach(({ netA, netK }, junction) => {
      const law = laws[junction] as JunctionLaw;
      const from = this.#group(netA);
      const into = this.#group(netK);
      if (from === into) return;
      steps.push({ junction, from, into, volts: voltsFor(law, counts) });
      // One that leaks as much backwards conducts both ways.
      if (law.saturationAmps > counts) steps.push({ junction, from: into, into: from, volts: 0 });
    });
    this.#steps = steps;
  }

  /** Junctions along the fewest that lead from one node to another; undefined when none do. */
  wayOver(red: number, black: number): number[] | undefined {
    const from = this.#group(red);
    const to = this.#group(black);
    const cameBy = new Map<number, Step | undefined>([[from, undefined]]);
    let front = new Set([from]);
    while (front.size > 0 && !cameBy.has(to)) {
      const next = new Set<number>();
      for (const step of this.#steps) {
        if (!front.has(step.from) || cameBy.has(step.into)) continue;
        cameBy.set(step.into, step);
        next.add(step.into);
      }
      front = next;
    }
    return cameBy.has(to) ? trace(cameBy, to) : undefined;
  }

  /**
   * Junctions along one way between two nodes of known voltage, over islands without one, that the
   * voltage between its ends would turn on; empty when there is none.
   */
  conducting(
    system: PortSystem,
    at: (node: number) => number,
    junctions: readonly Junction[],
    taken: ReadonlySet<number>,
  ): number[] {
    const steps = this.#steps.filter(({ junction }) => !taken.has(junction));
    const isKnown = (node: number): boolean => system.knows(node);
    // The highest voltage that reaches each island in the dark, less what the junctions take.
    const best = new Map<number, { volts: number; step: Step }>();
    for (let moved = true; moved; ) {
      moved = false;
      for (const step of steps) {
        const { netA, netK } = junctions[step.junction] as Junction;
        const isForward = this.#group(netA) === step.from;
        const [start, end] = isForward ? [netA, netK] : [netK, netA];
        const from = isKnown(start) ? at(start) : best.get(step.from)?.volts;
        if (from === undefined) continue;
        const volts = from - step.volts;
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

function trace(cameBy: ReadonlyMap<number, Step | undefined>, to: number): number[] {
  const way: number[] = [];
  for (let step = cameBy.get(to); step !== undefined; step = cameBy.get(step.from)) {
    way.push(step.junction);
  }
  return way;
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
