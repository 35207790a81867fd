import type { Probe } from '../circuit/reading.ts';
import { type BoardState, netPairKey, stateKey } from '../circuit/state.ts';
import type { Beliefs } from '../faults/beliefs.ts';
import type { Universe } from '../faults/universe.ts';
import { type SurveyMap, type SurveyPair, surveyMap } from './survey-map.ts';

/** A reading that would show faults nothing has spoken of yet. */
export interface SurveyReading {
  readonly probe: Probe;
  /** Expected number of faults it would show. */
  readonly faults: number;
  /** Parts it would speak for. */
  readonly parts: readonly number[];
}

export interface Survey {
  /** Best first. */
  readonly readings: readonly SurveyReading[];
  /** Expected number of meter-visible shorts not read yet, that some reading could show. */
  readonly unread: number;
  /** Parts no reading on the assembled board can speak for: a healthy path lies beside them. */
  readonly hidden: readonly number[];
}

const NEGLIGIBLE_CHANCE = 1e-6;
const HIDDEN_CHANCE = 0.001;

/** Groups what may still be wrong, unseen, by the reading that would show it. */
export function surveyOf(beliefs: Beliefs, state: BoardState): Survey {
  const { problem, chance } = beliefs;
  const now = stateKey(state);
  const map = surveyMap(problem, state, problem.states.at({ state, stateKey: now }));
  const { nets } = problem.circuit.board;
  const groups = openGroups(beliefs, map, now);
  const readable = new Set<number>();
  for (const { ids } of groups) for (const id of ids) readable.add(id);
  // Of readings that say the same, the one on the nets with most pads is the easiest to take.
  const pads = ({ red, black }: Probe): number =>
    (nets[red.net]?.pins.length ?? 0) + (nets[black.net]?.pins.length ?? 0);
  const readings = groups
    .map(({ probe, ids }) => ({ probe, ids, faults: chanceOf(chance, ids) }))
    .sort((x, y) => y.faults - x.faults || pads(y.probe) - pads(x.probe))
    .slice(0, MOST_READINGS)
    .map(({ probe, ids, faults }) => ({ probe, faults, parts: partsOf(problem.universe, ids) }));
  return { readings, unread: chanceOf(chance, readable), hidden: hiddenParts(beliefs, map) };
}

interface Group {
  readonly probe: Probe;
  readonly ids: readonly number[];
}

/** Pairs not read yet as the board is now, with the faults of some weight that they would show. */
function openGroups({ problem, chance }: Beliefs, map: SurveyMap, now: string): Group[] {
  const here = problem.observations.filter((o) => o.stateKey === now);
  const keys = (some: typeof here): Set<string> =>
    new Set(some.map(({ a, b }) => netPairKey(a, b)));
  const taken = keys(here);
  // A beep where a healthy board beeps leaves the ohms to be asked for.
  const measured = keys(
    here.filter(({ entries }) => entries.some(({ value }) => value.kind === 'ohms')),
  );
  const weighty = (pair: SurveyPair): number[] =>
    pair.faults.filter((id) => (chance[id] as number) >= NEGLIGIBLE_CHANCE);
  const groups = new Map<SurveyPair, { probe: Probe; ids: number[] }>();
  for (const pair of map.pairs) {
    if ((pair.probe.mode === 'ohms' ? measured : taken).has(pair.key)) continue;
    const ids = weighty(pair);
    if (ids.length > 0) groups.set(pair, { probe: pair.probe, ids });
  }
  // A pair that must be measured in ohms anyway need not be beeped as well.
  for (const [{ beeped }, group] of groups) {
    const other = beeped === undefined ? undefined : groups.get(beeped);
    if (beeped === undefined || other === undefined) continue;
    group.ids.push(...other.ids.filter((id) => !group.ids.includes(id)));
    groups.delete(beeped);
  }
  return [...groups.values()];
}

function chanceOf(chance: Float64Array, ids: Iterable<number>): number {
  let sum = 0;
  for (const id of ids) sum += chance[id] as number;
  return sum;
}

function hiddenParts({ chance }: Beliefs, { hidden }: SurveyMap): number[] {
  const sums = new Map<number, number>();
  for (const { id, members } of hidden) {
    const own = chance[id] as number;
    if (own < NEGLIGIBLE_CHANCE) continue;
    for (const { part } of members) sums.set(part, (sums.get(part) ?? 0) + own);
  }
  return [...sums].filter(([, sum]) => sum > HIDDEN_CHANCE).map(([part]) => part);
}

function partsOf(universe: Universe, ids: readonly number[]): number[] {
  const parts = ids.flatMap((id) => universe.faults[id]?.members.map((m) => m.part) ?? []);
  return [...new Set(parts)];
}

/** More than anyone looks at. */
const MOST_READINGS = 50;
