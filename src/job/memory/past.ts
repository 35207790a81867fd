/** What past boards counted, whichever store added it up: all that figures are learnt from. */
import type { MinutesSum } from './action-minutes.ts';
import type { Lesson } from './lesson.ts';
import { pastOfSums, sumsOf } from './model-sums.ts';
import type { MemoryRules } from './rules.ts';
import type { Tally } from './tally.ts';

export interface Past {
  /** Jobs of this board's model. */
  readonly own: Tally;
  /** Those of all other models: what was found and expected by kind and duty, of joints and of banks. */
  readonly others: Pick<Tally, 'boards' | 'kinds' | 'duties' | 'joints' | 'banks' | 'expected'>;
  /** What was timed, on boards of any model. */
  readonly timings: ReadonlyMap<string, MinutesSum>;
  /** The same by technician, as far as records name them. */
  readonly hands: ReadonlyMap<string, ReadonlyMap<string, MinutesSum>>;
  /** The last boards of this model that taught something: how many, and by part on how many it was found failed. */
  readonly last: { readonly boards: number; readonly failed: Readonly<Record<string, number>> };
}

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
  const sums = others.map((lessons) => sumsOf(lessons, rules));
  return pastOfSums(sumsOf(own, rules), sums);
}
