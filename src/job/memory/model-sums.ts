/** What the lessons of one model add up to: all that any board is told of it, so that sums may be kept in place of lessons. */
import type { MinutesSum } from './action-minutes.ts';
import { addMinutes, addSums, type TimedJob } from './bench-pace.ts';
import type { Lesson } from './lesson.ts';
import type { Past } from './past.ts';
import type { MemoryRules } from './rules.ts';
import { faded, newestFirst, type Tally, tallyOf, tallyOfModels } from './tally.ts';
import { FOUND_FROM } from './teaching.ts';

export interface ModelSums {
  readonly tally: Tally;
  readonly last: Past['last'];
  /** By action. What was timed is true whether the job proved anything or not; it fades all the same. */
  readonly timings: ReadonlyMap<string, MinutesSum>;
  readonly hands: Past['hands'];
}

/** Boards that are looked back on when people are told how often a part failed. */
export const LOOKED_BACK = 40;

export function sumsOf(lessons: readonly Lesson[], rules: MemoryRules): ModelSums {
  const teaching = faded(lessons, rules);
  const last = teaching.slice(0, LOOKED_BACK).map(({ lesson }) => lesson);
  const timed = newestFirst(lessons).map(({ minutes, hands = {} }, after) => {
    return { minutes, hands, weight: 2 ** (-after / rules.halfAfter) };
  });
  const names = [...new Set(timed.flatMap(({ hands }) => Object.keys(hands)))].sort();
  const ofHand = (name: string): TimedJob[] =>
    timed.flatMap(({ hands, weight }) => {
      const minutes = hands[name];
      return minutes === undefined ? [] : [{ minutes, weight }];
    });
  return {
    tally: tallyOf(teaching),
    last: { boards: last.length, failed: failedOn(last) },
    timings: addMinutes(timed),
    hands: new Map(names.map((name) => [name, addMinutes(ofHand(name))])),
  };
}

/** @param own of the board's model; none: no board of it was seen */
export function pastOfSums(own: ModelSums, others: readonly ModelSums[]): Past {
  const all = [own, ...others];
  const names = [...new Set(all.flatMap(({ hands }) => [...hands.keys()]))].sort();
  return {
    own: own.tally,
    others: tallyOfModels(others.map(({ tally }) => tally)),
    timings: addSums(all.map(({ timings }) => timings)),
    hands: new Map(
      names.map((name) => [name, addSums(all.flatMap(({ hands }) => hands.get(name) ?? []))]),
    ),
    last: own.last,
  };
}

/** By part: on how many of the boards it was found failed. */
export function failedOn(lessons: readonly Lesson[]): Record<string, number> {
  const counts = new Map<string, number>();
  for (const { failed } of lessons) {
    for (const { part, sure } of failed) {
      if (sure >= FOUND_FROM) counts.set(part, (counts.get(part) ?? 0) + 1);
    }
  }
  return Object.fromEntries(counts);
}
