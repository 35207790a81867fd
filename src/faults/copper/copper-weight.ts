import type { Chances, Decision } from '../chances.ts';
import type { Explanation, Problem } from '../problem.ts';
import type { CopperFit } from './copper-fit.ts';
import { likelyPairs } from './pairs.ts';

/** No fault is made less likely than this by what was read along the copper: its neighbours may be wrong. */
const LEAST_RATIO = 1e-6;
/** A second short is decided when it moves this share of its explanation's weight. */
const LEAST_EFFECT = 1e-3;

/**
 * The problem with every fault's chance as the copper readings leave it when it is the only one there:
 * the search, which knows nothing of copper, then tries the right ones first. Masses are put right in
 * {@link weighed}.
 */
export function guided(problem: Problem): Problem {
  const copper = problem.copper as CopperFit;
  const { universe } = problem;
  const alone = universe.alone.slice();
  const jointly = universe.jointly.slice();
  const before = universe.before.slice();
  for (const [id, ratio] of guideOf(problem, copper)) {
    alone[id]! *= ratio;
    jointly[id]! *= ratio;
    before[id]! *= ratio;
  }
  return { ...problem, universe: { ...universe, alone, jointly, before } };
}

/** By fault that joins both sides of a group: how well it fits alone, or with one more, beside the best. */
function guideOf({ universe }: Problem, copper: CopperFit): Map<number, number> {
  const ratios = new Map<number, number>();
  copper.groups.forEach((group, k) => {
    const shorts = universe.faults.flatMap(({ id }) => {
      const short = copper.shortOf(k, id);
      return short === undefined ? [] : [{ id, short }];
    });
    group.settle(shorts.map(({ short }) => short));
    const logs = new Map(shorts.map(({ id, short }) => [id, group.log([short])]));
    const best = Math.max(...logs.values());
    for (const { faults, log } of likelyPairs(copper, k, universe)) {
      for (const id of faults) logs.set(id, Math.max(logs.get(id) ?? log, log));
    }
    for (const [id, log] of logs) {
      const ratio = Math.max(LEAST_RATIO, Math.exp(Math.min(0, log - best)));
      ratios.set(id, (ratios.get(id) ?? 1) * ratio);
    }
  });
  return ratios;
}

/**
 * Explanations with the mass they really have: chance of their decisions, fit of the other readings, and
 * fit of the copper readings. Where a second short would fit these so well that it matters, it is
 * decided. Densities along the copper are in units of the best.
 */
export function weighed(
  problem: Problem,
  chances: Chances,
  explanations: readonly Explanation[],
): Explanation[] {
  const copper = problem.copper as CopperFit;
  const pairs = copper.groups.flatMap((_, k) => likelyPairs(copper, k, problem.universe));
  const found = explanations.flatMap((explanation) => {
    const { faults } = explanation;
    const log = copper.log(faults);
    let { decisions } = explanation;
    const both: Dense[] = [];
    for (const id of partnersOf(pairs, faults)) {
      chances.load(decisions);
      const further = copper.log([...faults, id]);
      const effect = chances.of(id) * Math.exp(further - log);
      if (!chances.isFree(id) || effect < LEAST_EFFECT) continue;
      const present: Decision = { before: decisions, fault: id, present: true };
      const all = [...faults, id];
      const more = { ...explanation, faults: all, accused: all, decisions: present };
      both.push({ explanation: more, log: further });
      decisions = { before: decisions, fault: id, present: false };
    }
    return [{ explanation: { ...explanation, decisions }, log }, ...both];
  });
  const best = found.reduce((most, { log }) => Math.max(most, log), Number.NEGATIVE_INFINITY);
  return found
    .map(({ explanation, log }) => {
      chances.load(explanation.decisions);
      let mass = chances.ofDecisions() * Math.exp(log - best);
      for (const fit of explanation.fits) mass *= fit;
      return { ...explanation, mass };
    })
    .sort((x, y) => y.mass - x.mass);
}

/** An explanation with ln of the density of what was read along the copper. */
interface Dense {
  readonly explanation: Explanation;
  readonly log: number;
}

/** What goes in a pair with one of the faults. */
function partnersOf(
  pairs: readonly { readonly faults: readonly [number, number] }[],
  faults: readonly number[],
): Set<number> {
  const partners = new Set<number>();
  for (const {
    faults: [one, other],
  } of pairs) {
    if (faults.includes(one) === faults.includes(other)) continue;
    partners.add(faults.includes(one) ? other : one);
  }
  return partners;
}
