import type { BoardState } from '../../circuit/state.ts';
import type { Beliefs } from '../../faults/beliefs.ts';
import type { CopperFit } from '../../faults/copper/copper-fit.ts';
import type { Short } from '../../faults/copper/short.ts';
import { concernsPresentPiece, type Fault } from '../../faults/fault.ts';

/** A part that may be what joins both sides of a rail's copper. */
export interface CopperSuspect {
  readonly part: number;
  /** In its likeliest mode. */
  readonly short: Short;
  /** Shorts that were there beside it, as far as that is likeliest, and are in circuit no more. */
  readonly departed: readonly Short[];
  /** Of all suspects here, summing to 1. */
  readonly weight: number;
}

/** More than this do not change which reading is best. */
const MOST_SUSPECTS = 60;
/** Lighter ones, beside the heaviest, are left out. */
const LEAST_RATIO = 2e-3;

/** The parts suspected across a group, heaviest first, and the weight they have together. */
export function copperSuspects(
  beliefs: Beliefs,
  copper: CopperFit,
  group: number,
  state: BoardState,
): { suspects: CopperSuspect[]; weight: number } {
  const byPart = new Map<number, Held>();
  const { faults } = beliefs.problem.universe;
  // Weights of what the readings accuse: any part may have failed besides, and that says nothing of where.
  for (const { accused, weight: own } of beliefs.explanations) {
    for (const id of accused) {
      const fault = faults[id] as Fault;
      const part = fault.members[0]?.part;
      const isPart = fault.what === 'part' && concernsPresentPiece(fault, state);
      const short = part !== undefined && isPart ? copper.shortOf(group, id) : undefined;
      if (part === undefined || short === undefined || !short.actsIn(state)) continue;
      const held = byPart.get(part);
      if (held === undefined) byPart.set(part, { short, accused, own, weight: own });
      else {
        held.weight += own;
        if (own > held.own) Object.assign(held, { short, accused, own });
      }
    }
  }
  const all = [...byPart].sort((x, y) => y[1].weight - x[1].weight || x[0] - y[0]);
  const least = (all[0]?.[1].weight ?? 0) * LEAST_RATIO;
  const kept = all.filter(([, { weight }]) => weight >= least).slice(0, MOST_SUSPECTS);
  const total = kept.reduce((sum, [, { weight }]) => sum + weight, 0);
  const suspects = kept.map(([part, { short, accused, weight }]) => ({
    part,
    short,
    departed: accused.flatMap((id) => {
      const other = copper.shortOf(group, id);
      return other === undefined || other.actsIn(state) ? [] : [other];
    }),
    weight: weight / total,
  }));
  return { suspects, weight: total };
}

interface Held {
  readonly short: Short;
  /** Faults of the heaviest explanation with it. */
  readonly accused: readonly number[];
  readonly own: number;
  weight: number;
}
