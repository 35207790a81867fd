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
  const isOpen = openPairs(beliefs, now);
  const best = new Largest(MOST_READINGS);
  const isReadable = new Uint8Array(chance.length);
  let unread = 0;
  for (const pair of map.pairs) {
    if (!isOpen(pair)) continue;
    let faults = 0;
    eachFault(pair, beliefs, isOpen, (id) => {
      const own = chance[id] as number;
      faults += own;
      if (isReadable[id] === 0) unread += own;
      isReadable[id] = 1;
    });
    if (faults === 0) continue;
    // Of readings that say the same, the one on the nets with most pads is the easiest to take.
    const { red, black } = pair.probe;
    const pads = (nets[red.net]?.pins.length ?? 0) + (nets[black.net]?.pins.length ?? 0);
    best.offer({ pair, faults, pads });
  }
  const readings = best.items.map(({ pair, faults }) => {
    const ids: number[] = [];
    eachFault(pair, beliefs, isOpen, (id) => ids.push(id));
    return { probe: pair.probe, faults, parts: partsOf(problem.universe, ids) };
  });
  return { readings, unread, hidden: hiddenParts(beliefs, map) };
}

/** Pairs not read yet as the board is now. */
function openPairs({ problem }: Beliefs, now: string): (pair: SurveyPair) => boolean {
  const here = problem.observations.filter((o) => o.stateKey === now);
  const keys = (some: typeof here): Set<string> =>
    new Set(some.map(({ a, b }) => netPairKey(a, b)));
  const taken = keys(here);
  // A beep where a healthy board beeps leaves the ohms to be asked for.
  const measured = keys(
    here.filter(({ entries }) => entries.some(({ value }) => value.kind === 'ohms')),
  );
  return ({ probe, key }) => !(probe.mode === 'ohms' ? measured : taken).has(key);
}

/**
 * The faults of some weight that an open pair would show. A pair that must be measured in ohms anyway
 * need not be beeped as well: the one takes over what the other would show.
 */
function eachFault(
  pair: SurveyPair,
  { chance }: Beliefs,
  isOpen: (pair: SurveyPair) => boolean,
  take: (id: number) => void,
): void {
  const isWeighty = (id: number): boolean => (chance[id] as number) >= NEGLIGIBLE_CHANCE;
  const { beeped, measured } = pair;
  if (measured !== undefined && isOpen(measured) && measured.faults.some(isWeighty)) return;
  let isWanted = false;
  for (const id of pair.faults) {
    if (!isWeighty(id)) continue;
    isWanted = true;
    take(id);
  }
  if (!isWanted || beeped === undefined || !isOpen(beeped)) return;
  for (const id of beeped.faults) if (isWeighty(id) && !pair.faults.includes(id)) take(id);
}

interface Ranked {
  readonly pair: SurveyPair;
  readonly faults: number;
  readonly pads: number;
}

/** The first few of many in order, the earlier first where two rank alike. */
class Largest {
  readonly items: Ranked[] = [];
  readonly #most: number;

  constructor(most: number) {
    this.#most = most;
  }

  offer(one: Ranked): void {
    const { items } = this;
    const isBefore = (x: Ranked, y: Ranked): boolean =>
      x.faults > y.faults || (x.faults === y.faults && x.pads > y.pads);
    const last = items[items.length - 1];
    if (items.length === this.#most && last !== undefined && !isBefore(one, last)) return;
    let at = items.length;
    while (at > 0 && isBefore(one, items[at - 1] as Ranked)) at--;
    items.splice(at, 0, one);
    if (items.length > this.#most) items.pop();
  }
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
