/** Kinds of board: one model is a name with its revision, and the names that were said to mean the same. */
import type { Lesson } from './lesson.ts';

/** `Tiny hoist rev 3`. */
export function modelName({
  board,
  revision,
}: {
  readonly board: string;
  readonly revision?: string | undefined;
}): string {
  return revision === undefined || revision === '' ? board : `${board} rev ${revision}`;
}

/** What people put right in the memory; the records stay as they are. */
export interface Corrections {
  /** Jobs that teach nothing any more, as {@link Lesson.job} names them. */
  readonly forgotten: ReadonlySet<string>;
  /** Names of a model that mean another one. */
  readonly sameAs: ReadonlyMap<string, string>;
}

/** A memory that nobody has put right. */
export const NO_CORRECTIONS: Corrections = { forgotten: new Set(), sameAs: new Map() };

/** The name that a model goes by, all names that mean it followed; a ring of names ends at the one asked for. */
export function goesBy(name: string, { sameAs }: Corrections): string {
  const met = new Set([name]);
  let now = name;
  for (let next = sameAs.get(now); next !== undefined && !met.has(next); next = sameAs.get(now)) {
    met.add(next);
    now = next;
  }
  return now;
}

/** Lessons by model, those of forgotten jobs and second copies of a record left out; models by name. */
export function byModel(
  lessons: readonly Lesson[],
  corrections: Corrections,
): Map<string, Lesson[]> {
  const latest = new Map<string, Lesson>();
  for (const lesson of lessons) {
    const held = latest.get(lesson.job);
    if (held === undefined || fuller(lesson, held)) latest.set(lesson.job, lesson);
  }
  const models = new Map<string, Lesson[]>();
  for (const lesson of latest.values()) {
    if (corrections.forgotten.has(lesson.job)) continue;
    const name = goesBy(modelName(lesson), corrections);
    const held = models.get(name);
    if (held === undefined) models.set(name, [lesson]);
    else held.push(lesson);
  }
  return new Map([...models].sort(([x], [y]) => (x < y ? -1 : 1)));
}

/** Of two copies the one that was worked on last. */
function fuller(one: Lesson, other: Lesson): boolean {
  if (one.at !== other.at) return one.at > other.at;
  return JSON.stringify(one) > JSON.stringify(other);
}
