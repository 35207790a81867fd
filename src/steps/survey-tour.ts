import type { Probe } from '../circuit/reading.ts';
import type { Analysis } from './advise.ts';
import { keepsProbe, minutesAfter, reachMinutes, readingMinutes } from './reach.ts';

interface Taking {
  readonly probe: Probe;
}

/** More first readings than this are not played out to the end. */
const MOST_FIRST = 16;
/** Fewer minutes than this are rounding. */
const ROUNDING = 1e-9;

/**
 * The reading to begin with so that all of them take fewest minutes: most are read with one probe where it was
 * for the one before. Each beginning is played out; next comes always a reading that fewest of the others
 * could follow, so that all that is read against one net is read before that net is left (Warnsdorff's rule).
 * @param readings in the order to prefer them, other things being equal
 */
export function firstOfTour<T extends Taking>(
  { workbench, evidence }: Pick<Analysis, 'workbench' | 'evidence'>,
  readings: readonly T[],
): T | undefined {
  const { clock, board } = workbench;
  const last = evidence.readings.at(-1);
  const tour = new Tour(readings, clock);
  const first = readings.map(({ probe }) => readingMinutes(clock, evidence, probe));
  const least = Math.min(...first);
  const beginnings = tour.byFollowers(readings.map((_, k) => k).filter((k) => first[k] === least));
  let best: T | undefined;
  let fewest = Number.POSITIVE_INFINITY;
  for (const k of beginnings.slice(0, MOST_FIRST)) {
    const { probe } = readings[k] as T;
    const way =
      last === undefined || last.offPart !== undefined ? 0 : reachMinutes(board, last, probe);
    const minutes = least + way + tour.minutesFrom(k);
    if (minutes >= fewest - ROUNDING) continue;
    fewest = minutes;
    best = readings[k];
  }
  return best;
}

/** Readings to be taken one after the other. */
class Tour {
  readonly #readings: readonly Taking[];
  readonly #clock: Analysis['workbench']['clock'];
  /** By reading: those a probe can stay for. */
  readonly #next: readonly (readonly number[])[];

  constructor(readings: readonly Taking[], clock: Analysis['workbench']['clock']) {
    this.#readings = readings;
    this.#clock = clock;
    this.#next = readings.map(({ probe }, at) =>
      readings.flatMap((other, k) => (k !== at && keepsProbe(probe, other.probe) ? [k] : [])),
    );
  }

  /** Those that fewest could follow first. */
  byFollowers(some: readonly number[]): number[] {
    const count = (k: number): number => this.#next[k]?.length ?? 0;
    return [...some].sort((x, y) => count(x) - count(y) || x - y);
  }

  /** Minutes of all the others after one of them. */
  minutesFrom(first: number): number {
    const followers = this.#next.map((next) => next.length);
    const open = new Set(this.#readings.keys());
    let minutes = 0;
    for (let at = first; ; ) {
      open.delete(at);
      for (const k of this.#next[at] as number[]) followers[k]!--;
      if (open.size === 0) return minutes;
      const near = (this.#next[at] as number[]).filter((k) => open.has(k));
      let best = -1;
      for (const k of near.length > 0 ? near : open) {
        if (best < 0 || (followers[k] as number) < (followers[best] as number)) best = k;
      }
      const [before, after] = [this.#readings[at], this.#readings[best]] as Taking[];
      minutes += minutesAfter(this.#clock, before!.probe, after!.probe);
      at = best;
    }
  }
}
