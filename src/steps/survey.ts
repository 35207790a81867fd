import type { Probe } from '../circuit/reading.ts';
import { type BoardState, stateKey } from '../circuit/state.ts';
import type { Beliefs } from '../faults/beliefs.ts';
import type { Universe } from '../faults/universe.ts';
import type { Clock } from './bench-times.ts';
import { handiestNets } from './handy-nets.ts';
import type { Offers } from './offers.ts';
import { coverOf, StarPrices } from './survey-cover.ts';
import { type SurveyMap, surveyMap } from './survey-map.ts';
import { NEGLIGIBLE_CHANCE, Shown } from './survey-shown.ts';

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
  /**
   * Readings that together show all but so many of the expected faults not read yet, for few minutes; those
   * that show most come first. Worked out when asked for.
   * @param risk expected faults that may stay unread
   */
  cover(risk: number, clock: Clock, offers: Offers): readonly SurveyReading[];
}

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
  const some: number[] = []; // places that show something
  let unread = 0;
  const { places } = map.pairs;
  const pads = (net: number): number => nets[net]?.pins.length ?? 0;
  for (let place = 0; place < places.size; place++) {
    const faults = shown.sum(place);
    if (faults === 0) continue;
    if (offers.isRestricted && offers.standIn(places.probe(place)) === undefined) continue;
    unread = shown.markReadable(place, isReadable, unread);
    some.push(place);
    // Of readings that say the same, the one on the nets with most pads is the easiest to take.
    if (faults < best.least) continue;
    best.offer({ place, faults, pads: pads(places.red(place)) + pads(places.black(place)) });
  }
  const reading = (place: number): SurveyReading => {
    const ids: number[] = [];
    shown.each(place, (id) => ids.push(id));
    const parts = partsOf(problem.universe, ids);
    const probe = places.probe(place);
    return { probe: offers.standIn(probe) ?? probe, faults: shown.sum(place), parts };
  };
  return {
    readings: best.items.map(({ place }) => reading(place)),
    unread,
    hidden: hiddenParts(beliefs, map),
    cover: (risk, clock, on) => {
      // A board with more to read is gone through by what shows most.
      const among = some.length > MOST_COVERING ? best.items.map(({ place }) => place) : some;
      const offered = among.filter((place) => {
        const probe = on.standIn(places.probe(place));
        return probe !== undefined && on.has({ kind: 'read', probe, purpose: 'survey' });
      });
      return coverOf(shown, offered, unread - risk, new StarPrices(places, clock)).map(reading);
    },
  };
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
/** So many readings that show something are gone through for a cover. */
const MOST_COVERING = 20_000;
