import type { Probe } from '../circuit/reading.ts';
import { type BoardState, stateKey } from '../circuit/state.ts';
import type { Beliefs } from '../faults/beliefs.ts';
import type { Universe } from '../faults/universe.ts';
import { handiestNets } from './handy-nets.ts';
import type { Offers } from './offers.ts';
import { type SurveyMap, surveyMap } from './survey-map.ts';

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
export function surveyOf(beliefs: Beliefs, state: BoardState, offers: Offers): Survey {
  const { problem, chance } = beliefs;
  const now = stateKey(state);
  const map = surveyMap(problem, state, problem.states.at({ state, stateKey: now }));
  const { nets } = problem.circuit.board;
  const shown = new Shown(
    map,
    chance,
    pairsRead(beliefs, now, map, insteadOf(beliefs, state, offers)),
  );
  const best = new Largest(MOST_READINGS);
  const isReadable = new Uint8Array(chance.length);
  let unread = 0;
  const { places } = map.pairs;
  const pads = (net: number): number => nets[net]?.pins.length ?? 0;
  for (let place = 0; place < places.size; place++) {
    const ids = shown.by(place);
    let faults = 0;
    for (let k = 0; k < ids.length; k++) faults += chance[ids[k] as number] as number;
    if (faults === 0) continue;
    if (offers.isRestricted && offers.standIn(places.probe(place)) === undefined) continue;
    for (let k = 0; k < ids.length; k++) {
      const id = ids[k] as number;
      if (isReadable[id] === 0) unread += chance[id] as number;
      isReadable[id] = 1;
    }
    // Of readings that say the same, the one on the nets with most pads is the easiest to take.
    best.offer({ place, faults, pads: pads(places.red(place)) + pads(places.black(place)) });
  }
  const readings = best.items.map(({ place, faults }) => {
    const parts = partsOf(problem.universe, shown.by(place));
    const probe = places.probe(place);
    return { probe: offers.standIn(probe) ?? probe, faults, parts };
  });
  return { readings, unread, hidden: hiddenParts(beliefs, map) };
}

/** By place of a pair: 1 when it has been read as the board is now. */
function pairsRead(
  { problem }: Beliefs,
  now: string,
  map: SurveyMap,
  placeFor: (net: number) => number,
): Uint8Array {
  const read = new Uint8Array(map.pairs.places.size);
  const note = (place: number): void => {
    if (place >= 0) read[place] = 1;
  };
  for (const { a: at, b: to, entries, stateKey: then } of problem.observations) {
    if (then !== now) continue;
    const [a, b] = [placeFor(at), placeFor(to)];
    note(map.placeOf('continuity', a, b));
    // A beep where a healthy board beeps leaves the ohms to be asked for.
    if (entries.some(({ value }) => value.kind === 'ohms')) note(map.placeOf('ohms', a, b));
  }
  return read;
}

/** By net: the one the map has in its place, where a reading may have been taken at another for want of reach. */
function insteadOf(
  { problem: { circuit } }: Beliefs,
  state: BoardState,
  offers: Offers,
): (net: number) => number {
  if (!offers.isRestricted) return (net) => net;
  const handiest = handiestNets(circuit.board, circuit.view(state));
  return (net) => handiest[net] ?? net;
}

const NONE: readonly number[] = [];

/** The faults of some weight that a pair not read yet would show. */
class Shown {
  readonly #map: SurveyMap;
  readonly #chance: Float64Array;
  readonly #read: Uint8Array;

  constructor(map: SurveyMap, chance: Float64Array, read: Uint8Array) {
    this.#map = map;
    this.#chance = chance;
    this.#read = read;
  }

  /**
   * A pair that must be measured in ohms anyway need not be beeped as well: the one takes over what the
   * other would show.
   */
  by(place: number): readonly number[] {
    if (this.#read[place] === 1) return NONE;
    const { beeped, measured } = this.#map.pairs;
    const ohms = measured[place] as number;
    if (ohms >= 0 && this.#read[ohms] === 0 && this.#weighty(ohms).length > 0) return NONE;
    const own = this.#weighty(place);
    const beeps = beeped[place] as number;
    if (own.length === 0 || beeps < 0 || this.#read[beeps] === 1) return own;
    return own.concat(this.#weighty(beeps).filter((id) => !this.#showsAtAll(place, id)));
  }

  #weighty(place: number): readonly number[] {
    const { starts, faults } = this.#map.pairs;
    let found: number[] | undefined;
    for (let k = starts[place] as number; k < (starts[place + 1] as number); k++) {
      const id = faults[k] as number;
      if ((this.#chance[id] as number) < NEGLIGIBLE_CHANCE) continue;
      if (found === undefined) found = [id];
      else found.push(id);
    }
    return found ?? NONE;
  }

  #showsAtAll(place: number, id: number): boolean {
    const { starts, faults } = this.#map.pairs;
    return faults.subarray(starts[place] as number, starts[place + 1] as number).includes(id);
  }
}

interface Ranked {
  readonly place: number;
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
  const parts = new Set<number>();
  ids.forEach((id) => {
    universe.faults[id]?.members.forEach(({ part }) => {
      parts.add(part);
    });
  });
  return [...parts];
}

/** More than anyone looks at. */
const MOST_READINGS = 50;
