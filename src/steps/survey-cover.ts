import type { Probe } from '../circuit/reading.ts';
import { Heap } from '../faults/heap.ts';
import type { Clock } from './bench-times.ts';
import type { PairIndex } from './pair-index.ts';
import { HELD_SHARE } from './reach.ts';
import type { Shown } from './survey-shown.ts';

/** More than anyone would read before thinking again. */
const MOST_PICKED = 200;

/** Minutes of a reading beside those taken. */
interface Prices {
  of(place: number): number;
  take(place: number): void;
}

/** A probe can stay where it is for most readings that have a net in common with another. */
export class StarPrices implements Prices {
  readonly #places: PairIndex;
  readonly #clock: Clock;
  readonly #probed = new Set<string>();

  constructor(places: PairIndex, clock: Clock) {
    this.#places = places;
    this.#clock = clock;
  }

  of(place: number): number {
    const probe = this.#places.probe(place);
    const isNear = netsOf(probe).some((net) => this.#probed.has(net));
    return this.#clock.read(probe) * (isNear ? HELD_SHARE : 1);
  }

  take(place: number): void {
    for (const net of netsOf(this.#places.probe(place))) this.#probed.add(net);
  }
}

function netsOf({ mode, red, black }: Probe): string[] {
  return [`${mode} ${red.net}`, `${mode} ${black.net}`];
}

/**
 * Places of readings that together show at least so many of the expected faults, as far as readings go, for few
 * minutes: whatever shows most that the others do not, for its minutes, is taken next; what turns out
 * to be shown by the others is left again (greedy set cover, Chvátal 1979).
 * @param places to choose from, of equals the earlier
 * @param wanted expected faults
 * @returns in the order taken
 */
export function coverOf(
  shown: Shown,
  places: readonly number[],
  wanted: number,
  prices: Prices,
): number[] {
  const times = new Map<number, number>(); // by fault: how many of the readings taken show it
  const alone = (place: number, least: number): number => {
    let sum = 0;
    shown.each(place, (id, chance) => {
      if ((times.get(id) ?? 0) <= least) sum += chance;
    });
    return sum;
  };
  const heap = new Heap<{ readonly place: number; readonly sum: number }>();
  const push = (place: number, sum: number): void => {
    if (sum > 0) heap.push(sum / prices.of(place), { place, sum });
  };
  for (const place of places) push(place, alone(place, 0));
  const picked: number[] = [];
  let spare = -wanted;
  while (spare < 0 && picked.length < MOST_PICKED) {
    const top = heap.pop();
    if (top === undefined) break;
    const sum = alone(top.place, 0);
    if (sum < top.sum) {
      push(top.place, sum); // others taken since show some of it
      continue;
    }
    picked.push(top.place);
    prices.take(top.place);
    spare += sum;
    shown.each(top.place, (id) => times.set(id, (times.get(id) ?? 0) + 1));
  }
  const left = new Set<number>();
  for (const place of [...picked].reverse()) {
    const sum = alone(place, 1);
    if (sum > spare) continue;
    spare -= sum;
    left.add(place);
    shown.each(place, (id) => times.set(id, (times.get(id) ?? 0) - 1));
  }
  return picked.filter((place) => !left.has(place));
}
