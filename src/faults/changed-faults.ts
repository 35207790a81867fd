import type { Pin } from '../board/model.ts';
import { AS_FOUND, type BoardState } from '../circuit/state.ts';
import { actsOn, type Fault } from './fault.ts';
import { FaultLists } from './fault-lists.ts';
import { chanceBefore, type FoundFaults, likelyAmong, netsOf, nothing } from './found-faults.ts';
import { jointFault, numbered } from './loose-faults.ts';
import type { OwnEvidence } from './own-evidence.ts';
import { classKey, type Draft, merge, pieceDrafts, updateBank } from './piece-faults.ts';
import type { ModeSources } from './piece-modes.ts';
import { withRoom } from './roomy.ts';
import type { Universe } from './universe.ts';

/** What has come to be known of a board, as far as its faults go. */
export interface Changes extends ModeSources {
  readonly own: ReadonlyMap<string, OwnEvidence>;
  /** States of the board met so far. */
  readonly states: readonly BoardState[];
  /** Parts that readings along the copper tell from their like. */
  readonly alongCopper: ReadonlySet<number>;
  /** Parts that some state has touched. */
  readonly touched: ReadonlySet<number>;
  /** By part: how often it was renewed; by pin: how often its joint was reflowed. */
  readonly renewed: ReadonlyMap<number, number>;
  readonly reflowed: ReadonlyMap<number, number>;
}

/**
 * The faults of a board on which some parts were touched, looked at or read apart. All others keep what
 * they had as it came in, numbers included, but that a part no longer alike leaves the fault it shared.
 */
export function changedFaults(found: FoundFaults, changes: Changes): Universe {
  return new Relisting(found, changes).universe();
}

class Relisting {
  readonly #found: FoundFaults;
  readonly #changes: Changes;
  /** Parts that are told apart from their like. */
  readonly #apart: Set<number>;
  readonly #faults: Fault[];
  readonly #leader: Int32Array;
  readonly #bankChance: Float64Array;
  readonly #later = new Map<number, number[]>();
  readonly #laterJoints = new Map<number, number[]>();
  /** Numbers at which something else stands by now. */
  readonly #renumbered = new Set<number>();
  #groupCount: number;

  constructor(found: FoundFaults, changes: Changes) {
    const { faults, bankChance, groupCount } = found.universe;
    this.#found = found;
    this.#changes = changes;
    this.#faults = faults.slice();
    this.#leader = found.leader.slice();
    this.#bankChance = bankChance.slice();
    this.#groupCount = groupCount;
    this.#apart = new Set([...changes.touched, ...changes.alongCopper, ...knownParts(changes)]);
  }

  universe(): Universe {
    this.#takeOut();
    this.#putIn();
    this.#listJoints();
    return this.#indexed();
  }

  #put(fault: Fault): void {
    this.#faults[fault.id] = fault;
    this.#renumbered.add(fault.id);
  }

  /** Takes the parts told apart out of the faults they share. */
  #takeOut(): void {
    const { numbering, leader, alike } = this.#found;
    const shared = new Set<number>();
    for (const part of this.#apart) {
      const end = numbering.firstOf[part + 1] as number;
      for (let id = numbering.firstOf[part] as number; id < end; id++) {
        const first = leader[id] as number;
        if (alike.has(first)) shared.add(first);
        this.#put(nothing(id, part));
      }
    }
    for (const id of shared) this.#shrink(id);
  }

  #shrink(id: number): void {
    const { universe, alike } = this.#found;
    const old = universe.faults[id] as Fault;
    const ids = alike.get(id) as readonly number[];
    const isLeft = old.members.map(({ part }) => !this.#apart.has(part));
    const left = ids.filter((_, k) => isLeft[k]);
    const members = old.members.filter((_, k) => isLeft[k]);
    const [first] = left;
    const [member] = members;
    if (first === undefined || member === undefined) return;
    const group = left.length > 1 ? old.group : member.part;
    this.#put(
      merge(this.#changes.circuit.board, this.#draftOf(first, member.part), members, first, group),
    );
    for (const each of left) this.#leader[each] = first;
  }

  /** A mode of a part that nothing is known of. */
  #draftOf(id: number, part: number): Draft {
    const { numbering, bankOf } = this.#found;
    const drafts = pieceDrafts(this.#changes, part, 0, bankOf[part] as number);
    return drafts[id - (numbering.firstOf[part] as number)] as Draft;
  }

  /** Lists the parts told apart, and the further modes of those that were asked for. */
  #putIn(): void {
    const { asked, circuit } = this.#changes;
    const classes = new Map<string, { readonly draft: Draft; readonly id: number }[]>();
    const parts = [...new Set([...this.#apart, ...asked])].sort((x, y) => x - y);
    let next = this.#found.numbering.lasting;
    for (const part of parts) {
      const count = circuit.models[part]?.modes.length ?? 0;
      const first = this.#found.numbering.firstOf[part] as number;
      for (const { draft, k, key } of this.#drafts(part)) {
        const id = draft.piece === 0 && k < count ? first + k : next++;
        const held = classes.get(key);
        if (held === undefined) classes.set(key, [{ draft, id }]);
        else held.push({ draft, id });
      }
    }
    // Numbers given out and then merged away stay empty.
    for (let id = this.#found.numbering.lasting; id < next; id++) this.#put(nothing(id, 0));
    this.#merge([...classes.values()]);
  }

  #drafts(part: number): { readonly draft: Draft; readonly k: number; readonly key: string }[] {
    const { own, alongCopper, touched, states, circuit, renewed } = this.#changes;
    const { board, models } = circuit;
    const bank = this.#found.bankOf[part] as number;
    if (!this.#apart.has(part)) {
      const more = pieceDrafts(this.#changes, part, 0, bank);
      return more
        .map((draft, k) => ({ draft, k, key: classKey(board, draft, false, []) }))
        .slice(models[part]?.modes.length ?? 0);
    }
    const singled = alongCopper.has(part) || hasKnownJoint(this.#changes, part);
    const found: { draft: Draft; k: number; key: string }[] = [];
    for (let piece = 0; piece <= (renewed.get(part) ?? 0); piece++) {
      const known = own.get(`${part}:${piece}`);
      if (known !== undefined && piece === 0 && bank >= 0)
        updateBank(this.#bankChance, bank, known);
      pieceDrafts(this.#changes, part, piece, piece === 0 ? bank : -1, known).forEach(
        (draft, k) => {
          const isSingled = known !== undefined || singled;
          const key = classKey(board, draft, isSingled, touched.has(part) ? states : []);
          found.push({ draft, k, key });
        },
      );
    }
    return found;
  }

  /** Modes of one piece exclude each other and share a group; a merged class is a group by itself. */
  #merge(classes: readonly (readonly { readonly draft: Draft; readonly id: number }[])[]): void {
    const { board } = this.#changes.circuit;
    const groups = new Map<string, number>();
    for (const all of classes) {
      const [{ draft, id }] = all as [{ draft: Draft; id: number }];
      const { part, piece } = draft;
      const name = `${part}:${piece}`;
      let group = piece === 0 ? part : groups.get(name);
      if (all.length > 1 || group === undefined) group = this.#groupCount++;
      if (all.length === 1) groups.set(name, group);
      const members = all.map((one) => ({ part: one.draft.part, chance: one.draft.chance }));
      this.#put(merge(board, draft, members, id, group));
      for (const one of all) {
        if (one.id < this.#found.numbering.lasting) this.#leader[one.id] = id;
        else push(this.#later, one.draft.part, id);
      }
    }
  }

  #listJoints(): void {
    const { own, reflowed, priors, circuit } = this.#changes;
    const { numbering } = this.#found;
    const pins = new Set(reflowed.keys());
    for (const key of own.keys()) {
      const [what, pin] = key.split(':');
      if (what === 'joint') pins.add(Number(pin));
    }
    for (const index of [...pins].sort((x, y) => x - y)) {
      const pin = circuit.board.pins[index] as Pin;
      for (let repairs = 0; repairs <= (reflowed.get(index) ?? 0); repairs++) {
        const factor = own.get(`joint:${index}:${repairs}`)?.modes[0] ?? 1;
        const loose = jointFault(pin, priors, repairs, factor);
        const first = numbering.joints + index;
        const id = repairs === 0 ? first : this.#faults.length;
        const group = repairs === 0 ? (this.#faults[first] as Fault).group : this.#groupCount++;
        this.#put(numbered(loose, id, group));
        if (repairs > 0) push(this.#laterJoints, index, id);
      }
    }
  }

  #indexed(): Universe {
    const { universe, numbering } = this.#found;
    const faults = this.#faults;
    const bankChance = this.#bankChance;
    const group = enlarged(universe.group, faults.length);
    const bank = enlarged(universe.bank, faults.length);
    const alone = enlarged(universe.alone, faults.length);
    const jointly = enlarged(universe.jointly, faults.length);
    const before = enlarged(universe.before, faults.length);
    const actsAsFound = enlarged(universe.actsAsFound, faults.length);
    for (const id of this.#renumbered) {
      const fault = faults[id] as Fault;
      group[id] = fault.group;
      bank[id] = fault.bank;
      alone[id] = fault.chance[0];
      jointly[id] = fault.chance[1];
      before[id] = chanceBefore(fault, bankChance);
      actsAsFound[id] = actsOn(fault, AS_FOUND) ? 1 : 0;
    }
    const ofBank = this.#replaced(universe.ofBank, ({ bank: own }) => (own < 0 ? [] : [own]));
    bankChance.forEach((chance, k) => {
      if (chance === universe.bankChance[k]) return;
      for (const id of ofBank[k] ?? []) before[id] = chanceBefore(faults[id] as Fault, bankChance);
    });
    const isLater = (id: number): boolean => (faults[id] as Fault).piece > 0;
    return {
      faults,
      lists: this.#lists(),
      byNet: this.#replaced(universe.byNet, netsOf),
      group,
      bank,
      alone,
      jointly,
      before,
      likely: likelyAmong(alone, jointly),
      actsAsFound,
      ofGroup: this.#replaced(universe.ofGroup, ({ group: own }) => [own], this.#groupCount),
      ofBank,
      later: Array.from(
        { length: faults.length - numbering.lasting },
        (_, k) => numbering.lasting + k,
      ).filter(isLater),
      apart: [...this.#renumbered].sort((x, y) => x - y),
      asFound: universe.asFound,
      bankChance,
      groupCount: this.#groupCount,
    };
  }

  #lists(): FaultLists {
    const { board } = this.#changes.circuit;
    const { numbering } = this.#found;
    return new FaultLists(
      board,
      this.#faults,
      numbering,
      this.#leader,
      this.#later,
      this.#laterJoints,
    );
  }

  /** Lists of faults with what stands in their places by now, ascending. */
  #replaced(
    lists: readonly (readonly number[])[],
    keysOf: (fault: Fault) => Iterable<number>,
    count = lists.length,
  ): readonly (readonly number[])[] {
    const added = new Map<number, number[]>();
    for (const id of this.#renumbered) {
      const old = this.#found.universe.faults[id];
      if (old !== undefined && old.members.length > 0)
        for (const key of keysOf(old)) if (!added.has(key)) added.set(key, []);
      const fault = this.#faults[id] as Fault;
      if (fault.members.length > 0) for (const key of keysOf(fault)) push(added, key, id);
    }
    const all = lists.slice();
    for (let key = all.length; key < count; key++) all.push([]);
    for (const [key, ids] of added) {
      const kept = (all[key] as readonly number[]).filter((id) => !this.#renumbered.has(id));
      all[key] = ids.length === 0 ? kept : [...kept, ...ids].sort((x, y) => x - y);
    }
    return all;
  }
}

/** Parts that something is known of beside what readings between nets tell. */
function knownParts({ own, circuit }: Changes): number[] {
  return [...own.keys()].map((key) => {
    const [what, number] = key.split(':');
    return what === 'joint' ? (circuit.board.pins[Number(number)]?.part ?? -1) : Number(what);
  });
}

/** Somebody has looked at a joint of the part: it is no longer like its neighbours. */
function hasKnownJoint({ own, circuit }: Changes, part: number): boolean {
  for (const key of own.keys()) {
    const [what, pin] = key.split(':');
    if (what === 'joint' && circuit.board.pins[Number(pin)]?.part === part) return true;
  }
  return false;
}

function enlarged<T extends Int32Array | Float64Array | Uint8Array>(from: T, length: number): T {
  const all = withRoom(from.constructor as new (length: number) => T, length);
  all.set(from);
  return all;
}

function push(lists: Map<number, number[]>, key: number, id: number): void {
  const held = lists.get(key);
  if (held === undefined) lists.set(key, [id]);
  else held.push(id);
}
