import type { Beliefs } from '../../src/faults/beliefs.ts';
import { Chances } from '../../src/faults/chances.ts';
import type { Fault } from '../../src/faults/fault.ts';
import { HiddenFaults } from '../../src/faults/hidden.ts';
import { NearShorts } from '../../src/faults/near-shorts.ts';
import { setKey } from './brute-force.ts';

/** Sets lighter than this are not told apart. */
const LEAST_WEIGHT = 1e-7;

/**
 * Weight of every set of faults as the search has it, by {@link setKey}: what every explanation
 * decides, and the rest with the chance it leaves them.
 */
export function believedSets(beliefs: Beliefs): Map<string, number> {
  const { problem, explanations } = beliefs;
  const { faults, ofGroup } = problem.universe;
  const chances = new Chances(problem.universe);
  const hidden = new HiddenFaults(problem, new NearShorts(problem));
  const sets = new Map<string, number>();
  for (const explanation of explanations) {
    chances.load(explanation.decisions);
    const ratios = hidden.ratios(explanation, chances);
    const found: { key: string; share: number }[] = [];
    let total = 0;
    // A bank's two ways of failing are told apart, as they tie its parts together.
    const banks = problem.universe.bankChance.length;
    for (let ways = 0; ways < 2 ** banks; ways++) {
      const wayOf = (bank: number): 0 | 1 => (bank < 0 ? 0 : (((ways >> bank) & 1) as 0 | 1));
      let start = 1;
      for (let bank = 0; bank < banks; bank++) {
        const together = chances.bankTogether(bank);
        start *= wayOf(bank) === 1 ? together : 1 - together;
      }
      const go = (group: number, share: number, present: readonly number[]): void => {
        if (share * explanation.weight < LEAST_WEIGHT) return;
        const ids = ofGroup[group];
        if (ids === undefined) {
          found.push({ key: setKey(present), share });
          total += share;
          return;
        }
        const decided = ids.find((id) => chances.isPresent(id));
        if (decided !== undefined) {
          go(group + 1, share, [...present, decided]);
          return;
        }
        const free = ids.filter((id) => chances.isFree(id)).map((id) => faults[id] as Fault);
        const chanceOf = (fault: Fault): number => fault.chance[wayOf(fault.bank)];
        const absent = ids
          .filter((id) => !chances.isFree(id))
          .reduce((sum, id) => sum + chanceOf(faults[id] as Fault), 0);
        const sum = free.reduce((s, fault) => s + chanceOf(fault), 0);
        const rest = Math.max(1 - absent, 1e-12);
        go(group + 1, (share * Math.max(0, 1 - absent - sum)) / rest, present);
        for (const fault of free) {
          const own = (chanceOf(fault) / rest) * (ratios.get(fault.id) ?? 1);
          go(group + 1, share * own, [...present, fault.id]);
        }
      };
      go(0, start, []);
    }
    for (const { key, share } of found) {
      sets.set(key, (sets.get(key) ?? 0) + (explanation.weight * share) / total);
    }
  }
  return sets;
}

/** Weight of the sets that no explanation takes in, and the number of those that two do. */
export function uncovered(
  { problem, explanations }: Beliefs,
  exact: ReadonlyMap<string, number>,
): { weight: number; twice: number } {
  const ids = problem.universe.faults.filter((f) => Math.max(...f.chance) > 0).map((f) => f.id);
  const bit = new Map(ids.map((id, k) => [id, 1 << k]));
  const decided = explanations.map(({ decisions }) => {
    let mask = 0;
    let present = 0;
    for (let at = decisions; at !== undefined; at = at.before) {
      const own = bit.get(at.fault) ?? 0;
      mask |= own;
      if (at.present) present |= own;
    }
    return { mask, present };
  });
  let weight = 0;
  let twice = 0;
  for (const [key, own] of exact) {
    const named = key === '' ? [] : key.split(' ');
    const bits = named.reduce((sum, id) => sum | (bit.get(Number(id)) ?? 0), 0);
    const takers = decided.filter(({ mask, present }) => (bits & mask) === present);
    if (takers.length === 0) weight += own;
    if (takers.length > 1) twice++;
  }
  return { weight, twice };
}

/** Total variation distance of two tables of weights. */
export function distance(
  one: ReadonlyMap<string, number>,
  other: ReadonlyMap<string, number>,
): number {
  let sum = 0;
  for (const key of new Set([...one.keys(), ...other.keys()])) {
    sum += Math.abs((one.get(key) ?? 0) - (other.get(key) ?? 0));
  }
  return sum / 2;
}
