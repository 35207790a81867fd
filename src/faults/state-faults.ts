import type { BoardState } from '../circuit/state.ts';
import { actsOn, type Fault, type FaultBranch, isInCircuit } from './fault.ts';
import { Nearby } from './near-shorts.ts';
import { Roomy, withRoom } from './roomy.ts';
import { indexOf, type ShortIndex } from './short-index.ts';
import { corrected, firstFrom, type ShortTable, tableOf } from './short-table.ts';
import type { Universe } from './universe.ts';

export type { ShortTable } from './short-table.ts';

const NONE: readonly never[] = [];

/** Where the shorts under a state may differ from those of the board as it came in. */
interface ToldApart {
  /** Of which faults. */
  readonly ids: ReadonlySet<number>;
  /** What is to be put in their place. */
  readonly table: ShortTable;
  readonly index: ShortIndex;
}

/** Which faults act under one state of the board, and where. */
export class StateFaults {
  /** By fault: 1 when it acts. */
  readonly acts: Uint8Array;
  readonly #universe: Universe;
  readonly #state: BoardState;
  readonly #before: StateFaults | undefined;
  /** By fault: its branches in circuit, where a raised leg leaves some of them out. */
  readonly #cut = new Map<number, readonly FaultBranch[]>();
  readonly #shortsAt = new Map<number, readonly number[]>();
  readonly #kept = new Map<number, number>();
  /** What acts, to go on from with the faults that other universes add to this one. */
  #room: Roomy<Uint8Array> | undefined;
  #table: ShortTable | undefined;
  #told: ToldApart | undefined;

  /**
   * @param touched parts that the state has touched
   * @param before the same state in a universe that this one adds faults to
   */
  constructor(
    universe: Universe,
    state: BoardState,
    touched: ReadonlySet<number>,
    before: StateFaults | undefined,
  ) {
    this.#universe = universe;
    this.#state = state;
    this.#before = before;
    if (before !== undefined) {
      const added = universe.faults.slice(before.acts.length);
      before.#room ??= new Roomy(before.acts);
      this.acts = before.#room.with(added.map((fault) => (actsOn(fault, state) ? 1 : 0)));
      return;
    }
    const { length } = universe.faults;
    this.acts = withRoom(Uint8Array, length);
    this.acts.set(universe.actsAsFound);
    // Only what the state touches can differ from the board as it came in.
    for (const part of touched) this.#renew(universe.lists.ofPart(part));
    this.#renew(universe.later);
    if (state.lifted.size === 0) return;
    for (const part of touched) for (const id of universe.lists.ofPart(part)) this.#cutOff(id);
  }

  #cutOff(id: number): void {
    const { branches } = this.#universe.faults[id] as Fault;
    const left = branches.filter((branch) => isInCircuit(branch, this.#state));
    if (left.length < branches.length) this.#cut.set(id, left);
  }

  /** The same without the faults that this universe adds to another. */
  get lasting(): StateFaults {
    return this.#before ?? this;
  }

  #renew(ids: readonly number[]): void {
    for (const id of ids) {
      this.acts[id] = actsOn(this.#universe.faults[id] as Fault, this.#state) ? 1 : 0;
    }
  }

  /** The branches of a fault that are in circuit; empty when it does not act or joins nothing. */
  branchesOf(id: number): readonly FaultBranch[] {
    if (this.#before !== undefined && id < this.#before.acts.length) {
      return this.#before.branchesOf(id);
    }
    if (this.acts[id] !== 1) return NONE;
    return this.#cut.get(id) ?? (this.#universe.faults[id] as Fault).branches;
  }

  /**
   * Chance that an open joint keeps a part's short from the pads it is read on.
   * @param jointChance by fault: chance of an open joint; default: before any decision
   */
  keptApart(id: number, jointChance?: (id: number) => number): number {
    if (jointChance !== undefined) return this.#openChance(id, jointChance);
    if (this.#before !== undefined && id < this.#before.acts.length) {
      return this.#before.keptApart(id);
    }
    const { faults } = this.#universe;
    let kept = this.#kept.get(id);
    if (kept === undefined) {
      kept = this.#openChance(id, (joint) => (faults[joint] as Fault).chance[0]);
      this.#kept.set(id, kept);
    }
    return kept;
  }

  #openChance(id: number, jointChance: (id: number) => number): number {
    const { faults, lists } = this.#universe;
    const { members, branches } = faults[id] as Fault;
    if (members.length !== 1) return 0;
    let closed = 1;
    for (const pin of new Set(branches.flatMap(({ pinA, pinB }) => [pinA, pinB]))) {
      for (const joint of lists.jointsOf(pin)) {
        if (this.acts[joint] === 1) closed *= 1 - jointChance(joint);
      }
    }
    return 1 - closed;
  }

  /** All shorts, without those of copper that come and go from problem to problem. */
  get table(): ShortTable {
    if (this.#before !== undefined) return this.#before.table;
    this.#table ??= this.#tabulate();
    return this.#table;
  }

  /** Only what is told apart can differ from the board as it came in. */
  #tabulate(): ShortTable {
    const { asFound, apart } = this.#universe;
    return apart.length === 0 ? asFound() : corrected(asFound(), apart, this.toldApart.table);
  }

  /**
   * Shorts from a net to some others, ascending; without those that this universe adds to another.
   * @param near nets they may lead to, by their numbers
   */
  lastingInto(net: number, near: ReadonlyMap<number, number>): readonly number[] {
    if (this.#before !== undefined) return this.#before.lastingInto(net, near);
    const found: number[] = [];
    const { asFound, apart, byNet } = this.#universe;
    const told = this.toldApart;
    indexOf(asFound(), byNet.length).collect(net, near, (id) => {
      if (!told.ids.has(id)) found.push(id);
    });
    if (apart.length > 0) told.index.collect(net, near, (id) => found.push(id));
    return found.length < 2 ? found : [...new Set(found)].sort((x, y) => x - y);
  }

  /** What is told apart in {@link table}. */
  get toldApart(): ToldApart {
    if (this.#before !== undefined) return this.#before.toldApart;
    if (this.#told === undefined) {
      const { apart, byNet } = this.#universe;
      const table = tableOf(apart, (id) => this.branchesOf(id));
      this.#told = { ids: new Set(apart), table, index: indexOf(table, byNet.length) };
    }
    return this.#told;
  }

  /** How many shorts {@link table} has, without making it. */
  get shortCount(): number {
    if (this.#before !== undefined) return this.#before.shortCount;
    const { ids } = this.#universe.asFound();
    let replaced = 0;
    for (const id of this.#universe.apart) if (ids[firstFrom(ids, id)] === id) replaced++;
    return ids.length - replaced + this.toldApart.table.ids.length;
  }

  /** Faults with a branch in circuit on a net. */
  shortsAt(net: number): readonly number[] {
    const lasting = this.lastingAt(net);
    const loose = this.looseAt(net);
    return loose.length > 0 ? [...lasting, ...loose] : lasting;
  }

  /** Of them, those that this universe shares with the one it adds faults to; else all. */
  lastingAt(net: number): readonly number[] {
    return this.#before?.lastingAt(net) ?? this.#ownAt(net);
  }

  /** Of them, those it adds. */
  looseAt(net: number): readonly number[] {
    return this.#before === undefined ? NONE : this.#ownAt(net);
  }

  #ownAt(net: number): readonly number[] {
    let ids = this.#shortsAt.get(net);
    if (ids === undefined) {
      const all = this.#universe.byNet[net] ?? NONE;
      const from = this.#before?.acts.length ?? 0;
      const hasOwn = (all[all.length - 1] ?? -1) >= from;
      const own = hasOwn && from > 0 ? all.slice(firstFrom(all, from)) : all;
      ids = hasOwn ? own.filter((id) => this.#isOn(id, net)) : NONE;
      this.#shortsAt.set(net, ids);
    }
    return ids;
  }

  #isOn(id: number, net: number): boolean {
    return this.branchesOf(id).some(({ a, b }) => a === net || b === net);
  }
}

/** The faults of a universe under every state of the board that is asked for. */
export class States {
  readonly #universe: Universe;
  readonly #partOfPin: (pin: number) => number;
  readonly #before: States | undefined;
  readonly #held = new Map<string, StateFaults>();
  /** What was found near points. */
  readonly nearby: Nearby;
  /** Faults from this number on were added to an earlier universe. */
  readonly lastingCount: number;

  /** @param before states of a universe that this one adds faults to */
  constructor(universe: Universe, partOfPin: (pin: number) => number, before?: States) {
    this.#universe = universe;
    this.#partOfPin = partOfPin;
    this.#before = before;
    this.nearby = before?.nearby ?? new Nearby();
    this.lastingCount = before?.lastingCount ?? universe.faults.length;
  }

  at(moment: { readonly state: BoardState; readonly stateKey: string }): StateFaults {
    let here = this.#held.get(moment.stateKey);
    if (here === undefined) {
      const touched = touchedParts(moment.state, this.#partOfPin);
      here = new StateFaults(this.#universe, moment.state, touched, this.#before?.at(moment));
      this.#held.set(moment.stateKey, here);
    }
    return here;
  }
}

/** Parts that a state has lifted, removed, renewed or reflowed. */
export function touchedParts(
  state: BoardState,
  partOfPin: (pin: number) => number,
): ReadonlySet<number> {
  const parts = new Set<number>(state.off);
  for (const part of state.piece.keys()) parts.add(part);
  for (const pin of state.lifted) parts.add(partOfPin(pin));
  for (const pin of state.reflowed.keys()) parts.add(partOfPin(pin));
  return parts;
}
