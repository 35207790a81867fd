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
    const faults = shown.sum(place);
    if (faults === 0) continue;
    if (offers.isRestricted && offers.standIn(places.probe(place)) === undefined) continue;
    unread = shown.markReadable(place, isReadable, unread);
    // Of readings that say the same, the one on the nets with most pads is the easiest to take.
    if (faults < best.least) continue;
    best.offer({ place, faults, pads: pads(places.red(place)) + pads(places.black(place)) });
  }
  const readings = best.items.map(({ place, faults }) => {
    const ids: number[] = [];
    shown.each(place, (id) => ids.push(id));
    const parts = partsOf(problem.universe, ids);
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

  /** Expected number of them. */
  sum(place: number): number {
    if (this.#read[place] === 1) return 0;
    if (this.#isAlone(place)) return this.#sumOf(place);
    let sum = 0;
    this.each(place, (_, own) => {
      sum += own;
    });
    return sum;
  }

  /**
   * Goes through them. A pair that must be measured in ohms anyway need not be beeped as well: the one
   * takes over what the other would show.
   * @param take is given the fault and its chance
   */
  each(place: number, take: (id: number, chance: number) => void): void {
    if (this.#read[place] === 1) return;
    const { beeped, measured } = this.#map.pairs;
    const ohms = measured[place] as number;
    if (ohms >= 0 && this.#read[ohms] === 0 && this.#sumOf(ohms) > 0) return;
    let isNone = true;
    this.#weighty(place, (id, own) => {
      isNone = false;
      take(id, own);
    });
    const beeps = beeped[place] as number;
    if (isNone || beeps < 0 || this.#read[beeps] === 1) return;
    this.#weighty(beeps, (id, own) => {
      if (!this.#showsAtAll(place, id)) take(id, own);
    });
  }

  /**
   * Marks them.
   * @param isReadable by fault: 1 where it is marked
   * @returns a sum with the chances of those not marked yet added, one after the other
   */
  markReadable(place: number, isReadable: Uint8Array, sum: number): number {
    let all = sum;
    const { starts, faults } = this.#map.pairs;
    if (!this.#isAlone(place)) {
      this.each(place, (id, own) => {
        if (isReadable[id] === 0) all += own;
        isReadable[id] = 1;
      });
      return all;
    }
    for (let k = starts[place] as number; k < (starts[place + 1] as number); k++) {
      const id = faults[k] as number;
      const own = this.#chance[id] as number;
      if (own < NEGLIGIBLE_CHANCE || isReadable[id] === 1) continue;
      all += own;
      isReadable[id] = 1;
    }
    return all;
  }

  /** Its nets are read in one way only: most by far, and a large board has hundreds of thousands. */
  #isAlone(place: number): boolean {
    const { beeped, measured } = this.#map.pairs;
    return (measured[place] as number) < 0 && (beeped[place] as number) < 0;
  }

  #sumOf(place: number): number {
    const { starts, faults } = this.#map.pairs;
    const end = starts[place + 1] as number;
    let sum = 0;
    for (let k = starts[place] as number; k < end; k++) {
      const own = this.#chance[faults[k] as number] as number;
      if (own >= NEGLIGIBLE_CHANCE) sum += own;
    }
    return sum;
  }

  #weighty(place: number, take: (id: number, chance: number) => void): void {
    const { starts, faults } = this.#map.pairs;
    const end = starts[place + 1] as number;
    for (let k = starts[place] as number; k < end; k++) {
      const id = faults[k] as number;
      const own = this.#chance[id] as number;
      if (own >= NEGLIGIBLE_CHANCE) take(id, own);
    }
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

  /** What one must show at least to come in. */
  get least(): number {
    const last = this.items[this.#most - 1];
    return last === undefined ? 0 : last.faults;
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
