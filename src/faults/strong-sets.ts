import type { View } from '../circuit/circuit.ts';
import { strongSet } from '../circuit/conduction.ts';
import type { Branch } from '../circuit/network.ts';
import type { World } from './world.ts';

/** By view; the same questions come back after every reading. */
interface Kept {
  readonly sets: Map<string, ReadonlySet<number> | undefined>;
  /** Nets in all of them. */
  nets: number;
}

const KEPT = new WeakMap<View, Kept>();
/** Nets kept for one view at most. */
const MOST_NETS = 2e5;

/**
 * The strong surroundings of nets. A fault that touches none of a net's surroundings leaves them as
 * they are without faults, which is most of them, most of the time.
 */
export class StrongSets {
  /** Like {@link strongSet} in a world; undefined when `to` is within. */
  around(world: World, from: number, to: number, limit: number): ReadonlySet<number> | undefined {
    const bare = this.#kept(world.view, [], from, to, limit);
    const touched = world.added.some(
      ({ a, b }) => a !== b && (bare === undefined || bare.has(a) || bare.has(b)),
    );
    return touched ? this.#kept(world.view, world.added, from, to, limit) : bare;
  }

  #kept(
    view: View,
    added: readonly Branch[],
    from: number,
    to: number,
    limit: number,
  ): ReadonlySet<number> | undefined {
    let kept = KEPT.get(view);
    if (kept === undefined || kept.nets > MOST_NETS) {
      kept = { sets: new Map(), nets: 0 };
      KEPT.set(view, kept);
    }
    const key = `${from}/${to}/${limit}/${added.map(({ a, b, ohms }) => `${a}-${b}@${ohms}`).join()}`;
    if (kept.sets.has(key)) return kept.sets.get(key);
    const set = strongSet(view, added, from, to, limit);
    kept.sets.set(key, set);
    kept.nets += 1 + (set?.size ?? 0);
    return set;
  }
}
