/** What past boards counted, whichever store added it up: all that figures are learnt from. */
import type { MinutesSum } from './action-minutes.ts';
import { addMinutes } from './bench-pace.ts';
import type { Lesson } from './lesson.ts';
import type { MemoryRules } from './rules.ts';
import { faded, newestFirst, type Tally, tallyOf } from './tally.ts';
import { FOUND_FROM } from './teaching.ts';

export interface Past {
  /** Jobs of this board's model. */
  readonly own: Tally;
  /** Those of all other models: what was found and expected by kind, of joints and of banks. */
  readonly others: Pick<Tally, 'boards' | 'kinds' | 'joints' | 'banks' | 'expected'>;
  /** What was timed, on boards of any model. */
  readonly timings: ReadonlyMap<string, MinutesSum>;
  /** The last boards of this model that taught something: how many, and by part on how many it was found failed. */
  readonly last: { readonly boards: number; readonly failed: Readonly<Record<string, number>> };
}

/** Boards that are looked back on when people are told how often a part failed. */
export const LOOKED_BACK = 40;

/**
 * Adds up lessons.
 * @param own of this board's model
 * @param others those of each other model
 */
export function pastOf(
  own: readonly Lesson[],
  others: readonly (readonly Lesson[])[],
  rules: MemoryRules,
): Past {
  const teaching = faded(own, rules);
  const last = teaching.slice(0, LOOKED_BACK).map(({ lesson }) => lesson);
  return {
    own: tallyOf(teaching),
    others: tallyOf(others.flatMap((lessons) => faded(lessons, rules))),
    timings: addMinutes(timings([own, ...others], rules)),
    last: { boards: last.length, failed: failedOn(last) },
  };
}

/** What was timed is true whether the job proved anything or not; it fades all the same. */
function timings(models: readonly (readonly Lesson[])[], { halfAfter }: MemoryRules) {
  return models.flatMap((lessons) =>
    newestFirst(lessons).map(({ minutes }, after) => ({
      minutes,
      weight: 2 ** (-after / halfAfter),
    })),
  );
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
