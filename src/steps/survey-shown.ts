import type { SurveyMap } from './survey-map.ts';

/** Fainter faults are not worth a reading. */
export const NEGLIGIBLE_CHANCE = 1e-6;

/** The faults of some weight that a pair not read yet would show. */
export class Shown {
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
