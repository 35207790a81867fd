import type { Decision } from './chances.ts';
import type { Pending, Standing } from './explaining.ts';

/** A partial assignment that the search may go on from. */
export interface Node extends Standing {
  readonly name: string;
  readonly decisions: Decision | undefined;
  /** Chance of the decisions. */
  readonly chance: number;
  readonly pending: Pending | undefined;
}

/** True when the world in which just these faults are there lies below a node; of all that wait, below one. */
export function leadsTo({ faults, decisions, pending }: Node, aim: ReadonlySet<number>): boolean {
  if (!faults.every((id) => aim.has(id))) return false;
  for (let at = decisions; at !== undefined; at = at.before) {
    if (!at.present && aim.has(at.fault)) return false;
  }
  // With tries before it, a node is only for worlds with one of them; the others have a node of their own.
  return (
    pending === undefined ||
    pending.tries.some(({ candidate }, k) => k >= pending.at && aim.has(candidate.fault))
  );
}
