import type { View } from '../circuit/circuit.ts';
import { strongSet } from '../circuit/conduction.ts';
import type { World } from './world.ts';

/**
 * Keeps the strong surroundings of nets. A fault that touches none of a net's surroundings leaves
 * them as they are without faults, which is most of them, most of the time.
 */
export class StrongSets {
  readonly #bare = new WeakMap<View, Map<string, ReadonlySet<number> | undefined>>();

  /** Like {@link strongSet} in a world; undefined when `to` is within. */
  around(world: World, from: number, to: number, limit: number): ReadonlySet<number> | undefined {
    const bare = this.#bareSet(world.view, from, to, limit);
    const touched = world.added.some(
      ({ a, b }) => a !== b && (bare === undefined || bare.has(a) || bare.has(b)),
    );
    return touched ? strongSet(world.view, world.added, from, to, limit) : bare;
  }

  #bareSet(view: View, from: number, to: number, limit: number): ReadonlySet<number> | undefined {
    let kept = this.#bare.get(view);
    if (kept === undefined) {
      kept = new Map();
      this.#bare.set(view, kept);
    }
    const key = `${from}/${to}/${limit}`;
    if (kept.has(key)) return kept.get(key);
    const set = strongSet(view, [], from, to, limit);
    kept.set(key, set);
    return set;
  }
}
