import type { Chances, Decision } from './chances.ts';
import type { Fault, Member } from './fault.ts';
import type { Ratios } from './ratios.ts';
import type { Universe } from './universe.ts';
import type { Workspace } from './workspace.ts';

/**
 * Sums up, over weighted explanations, the chance of every fault and of every part a fault may
 * mean. An explanation moves only the faults it decides, those that share a piece or a bank with
 * them, and those the observations speak against; all others keep their chance, once for all.
 */
export class Marginals {
  /** By fault. */
  readonly sums: Float64Array;
  readonly #universe: Universe;
  readonly #chances: Chances;
  readonly #workspace: Workspace;
  readonly #before: Float64Array;
  /** By fault that means one of several and was moved: mass by place in its member list. */
  readonly #rows = new Map<number, number[]>();
  /** By fault, until finished: mass of the explanations that moved it, and what it got of them if it has no bank. */
  readonly #moving: Float64Array;
  readonly #shared: Float64Array;
  /** By fault: when it was last taken up; 0: never. */
  readonly #takenAt: Uint32Array;
  #turn = 1;
  /** Faults taken up at all. */
  readonly #taken: number[] = [];
  /** Of them those that mean one of several: what {@link #moving} and {@link #shared} said in the end. */
  readonly #last = new Map<number, { readonly moving: number; readonly shared: number }>();
  /** Mass of all explanations. */
  #all = 0;
  #scale = 0;

  constructor(universe: Universe, chances: Chances, workspace: Workspace) {
    const { length } = universe.faults;
    this.#universe = universe;
    this.#chances = chances;
    this.#workspace = workspace;
    this.sums = new Float64Array(length);
    this.#moving = workspace.zeros.borrow(length);
    this.#shared = workspace.zeros.borrow(length);
    this.#takenAt = workspace.turns.borrow(length);
    this.#before = universe.before;
  }

  /**
   * Adds an explanation whose decisions are loaded.
   */
  add(decisions: Decision | undefined, ratios: Ratios, mass: number): void {
    this.#all += mass;
    for (const id of this.#moved(decisions, ratios)) {
      const fault = this.#universe.faults[id] as Fault;
      const prior = this.#chances.of(id);
      const r = ratios.get(id);
      const chance = prior === 1 ? 1 : (prior * r) / (1 - prior + prior * r);
      const together = fault.bank < 0 ? 0 : this.#chances.bankTogether(fault.bank);
      // A decision that the fault is there has told of the bank already.
      this.#addFault(fault, mass * chance, prior === 1 ? together : onceThere(fault, together));
      this.#moving[id]! += mass;
    }
  }

  /** Adds an explanation too light for what it says of other faults than its own to be seen. */
  addLight(faults: readonly number[], mass: number): void {
    for (const id of faults) {
      this.#take(id);
      this.#addFault(this.#universe.faults[id] as Fault, mass, 0.5);
    }
  }

  /** Puts in the faults that no explanation moved, and turns masses into chances. */
  finish(total: number): void {
    this.#scale = total > 0 ? 1 / total : 0;
    for (let id = 0; id < this.sums.length; id++) {
      const still = this.#still(id, this.#moving[id] as number);
      this.sums[id] = Math.max(0, ((this.sums[id] as number) + still) * this.#scale);
    }
    this.#giveBack();
  }

  #giveBack(): void {
    for (const id of this.#taken) {
      if ((this.#universe.faults[id] as Fault).members.length > 1) {
        const [moving, shared] = [this.#moving[id] as number, this.#shared[id] as number];
        this.#last.set(id, { moving, shared });
      }
      this.#moving[id] = 0;
      this.#shared[id] = 0;
      this.#takenAt[id] = 0;
    }
    const { zeros, turns } = this.#workspace;
    for (const array of [this.#moving, this.#shared]) zeros.giveBack(array);
    turns.giveBack(this.#takenAt);
  }

  /** Mass of a fault from the explanations that leave it alone. */
  #still(id: number, moving: number): number {
    return (this.#all - moving) * (this.#before[id] as number);
  }

  /** Chance of every part that a fault may mean, by place in its member list; once finished. */
  members(id: number): readonly number[] {
    const fault = this.#universe.faults[id] as Fault;
    if (fault.members.length === 1) return [this.sums[id] as number];
    const rows = this.#rows.get(id);
    const usual = this.#usual(fault);
    const { moving, shared } = this.#last.get(id) ?? NOT_MOVED;
    const whole = this.#still(id, moving);
    return fault.members.map(({ chance }, k) => {
      const share = memberShare(fault, chance, usual);
      const still = whole * share;
      if (fault.bank < 0) {
        return Math.max(0, (shared * share + still) * this.#scale);
      }
      return Math.max(0, ((rows?.[k] ?? 0) + still) * this.#scale);
    });
  }

  #usual(fault: Fault): number {
    if (fault.bank < 0) return 0;
    return onceThere(fault, this.#universe.bankChance[fault.bank] as number);
  }

  /** Each once. */
  #moved(decisions: Decision | undefined, ratios: Ratios): readonly number[] {
    const { group, bank, ofGroup, ofBank } = this.#universe;
    this.#turn++;
    const found: number[] = [];
    const take = (ids: readonly number[]): void => {
      for (const id of ids) {
        if (this.#takenAt[id] === this.#turn) continue;
        this.#take(id);
        found.push(id);
      }
    };
    take(ratios.ids);
    const banks = new Set<number>();
    for (let at = decisions; at !== undefined; at = at.before) {
      take(ofGroup[group[at.fault] as number] ?? []);
      banks.add(bank[at.fault] as number);
    }
    for (const one of banks) take(ofBank[one] ?? []);
    return found;
  }

  #take(id: number): void {
    if (this.#takenAt[id] === 0) this.#taken.push(id);
    this.#takenAt[id] = this.#turn;
  }

  #addFault(fault: Fault, mass: number, together: number): void {
    const { id, members } = fault;
    this.sums[id]! += mass;
    if (members.length === 1) return;
    if (fault.bank < 0) {
      this.#shared[id]! += mass; // without a bank the shares of its members never change
      return;
    }
    let rows = this.#rows.get(id);
    if (rows === undefined) {
      rows = members.map(() => 0);
      this.#rows.set(id, rows);
    }
    for (let k = 0; k < members.length; k++) {
      rows[k]! += mass * memberShare(fault, (members[k] as Member).chance, together);
    }
  }
}

const NOT_MOVED = { moving: 0, shared: 0 };

/** Chance that several of a bank have failed, once this fault of it is known to be there. */
function onceThere({ chance }: Fault, together: number): number {
  const jointly = together * chance[1];
  const whole = (1 - together) * chance[0] + jointly;
  return whole > 0 ? jointly / whole : 0;
}

/** Chance of one member, given that at least one of the fault's members has failed. */
function memberShare(fault: Fault, chance: readonly [number, number], together: number): number {
  // How much of the fault's chance comes from a failure of several, given that it is there.
  const alone = fault.chance[0] > 0 ? chance[0] / fault.chance[0] : 0;
  const jointly = fault.chance[1] > 0 ? chance[1] / fault.chance[1] : 0;
  return Math.min(1, (1 - together) * alone + together * jointly);
}
