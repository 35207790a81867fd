import type { Universe } from './universe.ts';

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
  readonly #state: Uint8Array;
  readonly #absentSum: readonly [Float64Array, Float64Array]; // by group
  readonly #groupTaken: Uint8Array;
  readonly #bankWeight: readonly [Float64Array, Float64Array];
  #touched: number[] = [];

  constructor(universe: Universe) {
    this.#universe = universe;
    this.#state = new Uint8Array(universe.faults.length);
    this.#absentSum = [
      new Float64Array(universe.groupCount),
      new Float64Array(universe.groupCount),
    ];
    this.#groupTaken = new Uint8Array(universe.groupCount);
    const banks = universe.bankChance.length;
    this.#bankWeight = [new Float64Array(banks), new Float64Array(banks)];
    this.#resetBanks();
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
    const sums = new Map<number, { bank: number; sum: [number, number] }>(); // by group
    for (const id of ids) {
      if (!this.isFree(id)) continue;
      const { group: groupOf, bank, alone, jointly } = this.#universe;
      const group = groupOf[id] as number;
      let held = sums.get(group);
      if (held === undefined) {
        held = { bank: bank[id] as number, sum: [0, 0] };
        sums.set(group, held);
      }
      held.sum[0] += alone[id] as number;
      held.sum[1] += jointly[id] as number;
    }
    let none = 1;
    const banks = new Map<number, [number, number]>();
    for (const [group, { bank, sum }] of sums) {
      const left = ([0, 1] as const).map((way) => {
        const rest = Math.max(1 - (this.#absentSum[way][group] as number), 1e-12);
        return Math.max(0, 1 - sum[way] / rest);
      }) as [number, number];
      const held = banks.get(bank) ?? [1, 1];
      if (bank < 0) none *= left[0];
      else banks.set(bank, [held[0] * left[0], held[1] * left[1]]);
    }
    for (const [bank, [alone, jointly]] of banks) {
      const together = this.bankTogether(bank);
      none *= (1 - together) * alone + together * jointly;
    }
    return none;
  }

  /** Chance that something took several parts of the bank, given the decisions. */
  bankTogether(bank: number): number {
    const w0 = this.#bankWeight[0][bank] as number;
    const w1 = this.#bankWeight[1][bank] as number;
    return w0 + w1 > 0 ? w1 / (w0 + w1) : 0;
  }
}
