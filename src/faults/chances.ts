import type { Universe } from './universe.ts';
import { Workspace } from './workspace.ts';

/** One yes or no of a partial assignment; a chain of them back to nothing decided. */
export interface Decision {
  readonly before: Decision | undefined;
  readonly fault: number;
  readonly present: boolean;
}

const FREE = 0;
const PRESENT = 1;
const ABSENT = 2;

/**
 * Chances of faults given a partial assignment. One workspace, loaded with one chain of decisions
 * at a time: modes of one piece exclude each other, and a bank's parts share the question whether
 * something took several of them at once, which every decision about one of them helps to answer.
 */
export class Chances {
  readonly #universe: Universe;
  readonly #workspace: Workspace;
  readonly #state: Uint8Array;
  readonly #absentSum: readonly [Float64Array, Float64Array]; // by group
  readonly #groupTaken: Uint8Array;
  /** By group, while faults are summed up by it: their chances, and whether there are any; else 0. */
  readonly #sums: readonly [Float64Array, Float64Array];
  readonly #isSummed: Uint8Array;
  readonly #bankWeight: readonly [Float64Array, Float64Array];
  #touched: number[] = [];

  constructor(universe: Universe, workspace: Workspace = new Workspace()) {
    const { faults, groupCount } = universe;
    this.#universe = universe;
    this.#workspace = workspace;
    const { marks, zeros } = workspace;
    const length = Math.max(faults.length, groupCount); // one length for all that is borrowed
    this.#state = marks.borrow(length);
    this.#absentSum = [zeros.borrow(length), zeros.borrow(length)];
    this.#groupTaken = marks.borrow(length);
    this.#sums = [zeros.borrow(length), zeros.borrow(length)];
    this.#isSummed = marks.borrow(length);
    const banks = universe.bankChance.length;
    this.#bankWeight = [new Float64Array(banks), new Float64Array(banks)];
    this.#resetBanks();
  }

  /** Gives its arrays back; it is of no use after that. */
  release(): void {
    this.load(undefined);
    const { marks, zeros } = this.#workspace;
    for (const array of [this.#state, this.#groupTaken, this.#isSummed]) marks.giveBack(array);
    for (const array of [...this.#absentSum, ...this.#sums]) zeros.giveBack(array);
  }

  #resetBanks(): void {
    this.#universe.bankChance.forEach((chance, bank) => {
      this.#bankWeight[0][bank] = 1 - chance;
      this.#bankWeight[1][bank] = chance;
    });
  }

  /** Takes in a chain of decisions in place of the one before. */
  load(chain: Decision | undefined): void {
    const { group: groupOf, bank: bankOf, alone, jointly } = this.#universe;
    for (const id of this.#touched) {
      const group = groupOf[id] as number;
      this.#state[id] = FREE;
      this.#absentSum[0][group] = 0;
      this.#absentSum[1][group] = 0;
      this.#groupTaken[group] = 0;
    }
    this.#touched = [];
    this.#resetBanks();
    const bankGroups = new Map<number, number>(); // group → bank
    const presentInBank: number[] = [];
    for (let at = chain; at !== undefined; at = at.before) {
      const { fault, present } = at;
      const group = groupOf[fault] as number;
      const bank = bankOf[fault] as number;
      this.#touched.push(fault);
      this.#state[fault] = present ? PRESENT : ABSENT;
      if (present) this.#groupTaken[group] = 1;
      else {
        this.#absentSum[0][group]! += alone[fault] as number;
        this.#absentSum[1][group]! += jointly[fault] as number;
      }
      if (bank < 0) continue;
      if (present) presentInBank.push(fault);
      else bankGroups.set(group, bank);
    }
    for (const fault of presentInBank) {
      const bank = bankOf[fault] as number;
      this.#bankWeight[0][bank]! *= alone[fault] as number;
      this.#bankWeight[1][bank]! *= jointly[fault] as number;
    }
    for (const [group, bank] of bankGroups) {
      if (this.#groupTaken[group] === 1) continue;
      this.#bankWeight[0][bank]! *= 1 - (this.#absentSum[0][group] as number);
      this.#bankWeight[1][bank]! *= 1 - (this.#absentSum[1][group] as number);
    }
  }

  /** Chance of the decisions that are loaded. */
  ofDecisions(): number {
    const { group: groupOf, bank: bankOf, alone } = this.#universe;
    let chance = 1;
    const seen = new Set<number>();
    const banks = new Set<number>();
    for (const id of this.#touched) {
      const group = groupOf[id] as number;
      const bank = bankOf[id] as number;
      if (bank >= 0) {
        banks.add(bank);
        continue;
      }
      if (this.#state[id] === PRESENT) chance *= alone[id] as number;
      else if (this.#groupTaken[group] === 0 && !seen.has(group)) {
        chance *= Math.max(0, 1 - (this.#absentSum[0][group] as number));
      }
      seen.add(group);
    }
    for (const bank of banks) {
      chance *= (this.#bankWeight[0][bank] as number) + (this.#bankWeight[1][bank] as number);
    }
    return chance;
  }

  isPresent(id: number): boolean {
    return this.#state[id] === PRESENT;
  }

  isFree(id: number): boolean {
    return this.#state[id] === FREE && this.#groupTaken[this.#universe.group[id] as number] === 0;
  }

  /** Chance that a fault is present given the decisions; 1 or 0 where they settle it. */
  of(id: number): number {
    if (this.#state[id] === PRESENT) return 1;
    if (!this.isFree(id)) return 0;
    const { group: groupOf, bank: bankOf, alone, jointly } = this.#universe;
    const group = groupOf[id] as number;
    const bank = bankOf[id] as number;
    const rest0 = 1 - (this.#absentSum[0][group] as number);
    const first = Math.min(1, (alone[id] as number) / Math.max(rest0, 1e-12));
    if (bank < 0) return first;
    const rest1 = 1 - (this.#absentSum[1][group] as number);
    const second = Math.min(1, (jointly[id] as number) / Math.max(rest1, 1e-12));
    const together = this.bankTogether(bank);
    return (1 - together) * first + together * second;
  }

  /** Chance that none of some faults is there, given the decisions. */
  ofNone(ids: readonly number[]): number {
    const { group: groupOf, bank: bankOf, alone, jointly } = this.#universe;
    const [sum0, sum1] = this.#sums;
    const groups: number[] = [];
    for (const id of ids) {
      if (!this.isFree(id)) continue;
      const group = groupOf[id] as number;
      if (this.#isSummed[group] === 0) {
        this.#isSummed[group] = 1;
        groups.push(group, bankOf[id] as number);
      }
      sum0[group]! += alone[id] as number;
      sum1[group]! += jointly[id] as number;
    }
    let none = 1;
    const banks = new Map<number, [number, number]>();
    for (let k = 0; k < groups.length; k += 2) {
      const group = groups[k] as number;
      const bank = groups[k + 1] as number;
      const left0 = this.#leftOf(0, group);
      if (bank < 0) none *= left0;
      else {
        const held = banks.get(bank) ?? [1, 1];
        banks.set(bank, [held[0] * left0, held[1] * this.#leftOf(1, group)]);
      }
      this.#isSummed[group] = 0;
      sum0[group] = 0;
      sum1[group] = 0;
    }
    for (const [bank, [alone, jointly]] of banks) {
      const together = this.bankTogether(bank);
      none *= (1 - together) * alone + together * jointly;
    }
    return none;
  }

  /** Chance that none of what was summed up of a group is there. */
  #leftOf(way: 0 | 1, group: number): number {
    const rest = Math.max(1 - (this.#absentSum[way][group] as number), 1e-12);
    return Math.max(0, 1 - (this.#sums[way][group] as number) / rest);
  }

  /** Chance that something took several parts of the bank, given the decisions. */
  bankTogether(bank: number): number {
    const w0 = this.#bankWeight[0][bank] as number;
    const w1 = this.#bankWeight[1][bank] as number;
    return w0 + w1 > 0 ? w1 / (w0 + w1) : 0;
  }
}
