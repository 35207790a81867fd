import { handKey } from './hand-key.ts';
import type { Lesson } from './lesson.ts';

/** A lesson as it leaves the shop's folder: no word of a customer, and technicians by a sum of their names. */
export function nameless({ hands, words: _words, ...lesson }: Lesson): Lesson {
  if (hands === undefined) return lesson;
  const keyed = Object.entries(hands).map(([name, minutes]) => [handKey(name), minutes]);
  return { ...lesson, hands: Object.fromEntries(keyed) };
}
