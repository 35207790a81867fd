import type { Circuit, View } from '../circuit/circuit.ts';
import type { Branch } from '../circuit/network.ts';
import { type Lack, type ShortKinds, Sorter } from './short-kinds.ts';
import type { ShortTable } from './short-table.ts';
import type { StateFaults } from './state-faults.ts';
import { NO_IDS, type SomeKinds, type StrongShorts, strongAmong } from './strong-shorts.ts';
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
/** What is kept of a circuit's lacks covers so many nets at most. */
const MOST_NETS = 5e5;

type Kept = Map<string, StrongShorts | undefined>;

/** By the faults of parts under a state: what has been sorted; the same questions come back after every reading. */
const KEPT = new WeakMap<StateFaults, Kept>();

/** Sorts the shorts of a large board by what they could do for a reading. */
export class ShortStrengths {
  readonly #lacks: Lacks;
  /** For worlds that faults of copper are part of, whose numbers hold for one problem only. */
  readonly #passing: Kept = new Map();

  constructor(circuit: Circuit) {
    this.#lacks = lacksOf(circuit);
  }

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
      strong = this.#sorted(place, points, limit);
      if (kept.size >= MOST_KEPT) kept.clear();
      kept.set(key, strong);
    }
    return strong && { ...strong, work: lasting.shortCount / SHORTS_PER_WORK };
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

  #sorted(
    { world, universe, here }: Place,
    points: readonly [number, number],
    limit: number,
  ): StrongShorts | undefined {
    const sorted = this.#lacks.of(world, points, limit);
    if (sorted === undefined) return undefined;
    const kinds = sorted.kinds(universe, here);
    return strongAmong(kinds, universe.before, LEAST_CHAIN_SHARE);
  }
}

/** The shorts of a board sorted for one lack; holds whatever is known of their chances. */
class SortedLack {
  readonly #sorter: Sorter;
  /** Of the board as it came in. */
  #asFound: { readonly table: ShortTable; readonly kinds: ShortKinds } | undefined;

  constructor(sorter: Sorter) {
    this.#sorter = sorter;
  }

  /** Those under a state. */
  kinds({ asFound, bank }: Universe, { toldApart: { ids, table } }: StateFaults): SomeKinds[] {
    const whole = asFound();
    if (this.#asFound?.table !== whole) {
      this.#asFound = { table: whole, kinds: this.#sorter.kindsOf(whole, bank) };
    }
    const { kinds } = this.#asFound;
    if (ids.size === 0) return [{ kinds, without: NO_IDS }];
    return [
      { kinds, without: ids },
      { kinds: this.#sorter.kindsOf(table, bank), without: NO_IDS },
    ];
  }
}

/** The lacks of one board asked for last: the same come back after every reading, with other chances. */
class Lacks {
  readonly #held = new Map<string, SortedLack | undefined>();
  readonly #views = new WeakMap<View, number>();
  #viewCount = 0;

  of(world: World, points: readonly [number, number], limit: number): SortedLack | undefined {
    const { view, added } = world;
    const key = `${this.#numberOf(view)}/${added.map(({ a, b, ohms }) => `${a}-${b}@${ohms}`)}/${points}/${limit}`;
    const held = this.#held.get(key);
    const isKnown = held !== undefined || this.#held.has(key);
    this.#held.delete(key);
    const sorted = isKnown ? held : sortedLack(world, points, limit);
    this.#held.set(key, sorted); // the last asked for stands last
    if (!isKnown) this.#trim(view.network.nodeCount);
    return sorted;
  }

  #trim(nets: number): void {
    const most = Math.ceil(MOST_NETS / nets);
    for (const oldest of this.#held.keys()) {
      if (this.#held.size <= most) return;
      this.#held.delete(oldest);
    }
  }

  #numberOf(view: View): number {
    let number = this.#views.get(view);
    if (number === undefined) {
      number = this.#viewCount++;
      this.#views.set(view, number);
    }
    return number;
  }
}

const LACKS = new WeakMap<Circuit, Lacks>();

function lacksOf(circuit: Circuit): Lacks {
  let lacks = LACKS.get(circuit);
  if (lacks === undefined) {
    lacks = new Lacks();
    LACKS.set(circuit, lacks);
  }
  return lacks;
}

function sortedLack(
  world: World,
  points: readonly [number, number],
  limit: number,
): SortedLack | undefined {
  const lack = lackOf(world, points, limit);
  return lack && new SortedLack(new Sorter(lack));
}

/** @returns undefined where the points are below the limit as it is */
export function lackOf(
  { view, added }: World,
  points: readonly [number, number],
  limit: number,
): Lack | undefined {
  const { network } = view;
  const [a, b] = points;
  const heights = network.allVoltages(a, b, added);
  const ground = heights[b] as number;
  const whole = (heights[a] as number) - ground; // Ω too, as 1 A flows
  const siemens = 1 / limit - 1 / whole;
  if (!(siemens > 0)) return undefined;
  for (let net = 0; net < heights.length; net++) {
    heights[net] = ((heights[net] as number) - ground) / whole;
  }
  const apart = (u: number, v: number): number =>
    whole * ((heights[u] as number) - (heights[v] as number));
  const isBare = added.length === 0;
  return {
    branches: isBare ? network.branches : network.branches.concat(added as Branch[]),
    points,
    volts: heights,
    siemens,
    // R − c² / R_uv is what a branch of no ohms would leave, c the voltage it takes away.
    isEnough: (u, v) =>
      !isBare || !(whole - apart(u, v) ** 2 / network.resistanceOnce(u, v) > limit),
  };
}
