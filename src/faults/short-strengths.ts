import type { StateFaults } from './state-faults.ts';
import { type Lack, type StrongShorts, strongShorts } from './strong-shorts.ts';
import type { Universe } from './universe.ts';
import type { World } from './world.ts';

/** What a sorting is made for. */
interface Place {
  readonly world: World;
  readonly universe: Universe;
  readonly here: StateFaults;
}

/** Share of the chance of the faults listed down to which ones that explain but together are listed. */
const LEAST_CHAIN_SHARE = 1e-3;
/** Sorting so many shorts is a unit of work. */
const SHORTS_PER_WORK = 10_000;
/** Sortings kept for one state of the board at most. */
const MOST_KEPT = 256;

type Kept = Map<string, StrongShorts | undefined>;

/** By the faults of parts under a state: what has been sorted; the same questions come back after every reading. */
const KEPT = new WeakMap<StateFaults, Kept>();

/** Sorts the shorts of a large board by what they could do for a reading. */
export class ShortStrengths {
  /** For worlds that faults of copper are part of, whose numbers hold for one problem only. */
  readonly #passing: Kept = new Map();

  /**
   * @returns undefined where no such sorting can be made
   * @remarks Charged as work whether it was kept or not, so that a search goes the same way again.
   */
  of(
    place: Place,
    points: readonly [number, number],
    limit: number,
  ): (StrongShorts & { readonly work: number }) | undefined {
    const { lasting } = place.here;
    const kept = this.#keptFor(place, lasting);
    const key = `${place.world.key}/${points.join()}/${limit}`;
    let strong = kept.get(key);
    if (strong === undefined && !kept.has(key)) {
      strong = sorted(place, points, limit);
      if (kept.size >= MOST_KEPT) kept.clear();
      kept.set(key, strong);
    }
    return strong && { ...strong, work: lasting.table.ids.length / SHORTS_PER_WORK };
  }

  #keptFor({ world }: Place, lasting: StateFaults): Kept {
    if (world.addedFault.some((id) => id >= lasting.acts.length)) return this.#passing;
    let kept = KEPT.get(lasting);
    if (kept === undefined) {
      kept = new Map();
      KEPT.set(lasting, kept);
    }
    return kept;
  }
}

function sorted(
  { world, universe, here }: Place,
  points: readonly [number, number],
  limit: number,
): StrongShorts | undefined {
  const { network } = world.view;
  const [a, b] = points;
  const heights = network.allVoltages(a, b, world.added);
  const ground = heights[b] as number;
  const whole = (heights[a] as number) - ground; // Ω too, as 1 A flows
  const siemens = 1 / limit - 1 / whole;
  if (!(siemens > 0)) return undefined;
  for (let net = 0; net < heights.length; net++) {
    heights[net] = ((heights[net] as number) - ground) / whole;
  }
  const apart = (u: number, v: number): number =>
    whole * ((heights[u] as number) - (heights[v] as number));
  const isBare = world.added.length === 0;
  const lack: Lack = {
    branches: isBare ? network.branches : [...network.branches, ...world.added],
    points,
    volts: heights,
    siemens,
    // R − c² / R_uv is what a branch of no ohms would leave, c the voltage it takes away.
    isEnough: (u, v) =>
      !isBare || !(whole - apart(u, v) ** 2 / network.resistanceOnce(u, v) > limit),
  };
  return strongShorts(universe, here, lack, LEAST_CHAIN_SHARE);
}
