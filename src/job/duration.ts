/** Durations in the notation: `60 min`, `2 h`, `1 h 30 min`; whole seconds in the record. */
import { type Line, refuse, type Word } from './words.ts';

const SECONDS: ReadonlyMap<string, number> = new Map([
  ['s', 1],
  ['sec', 1],
  ['min', 60],
  ['minutes', 60],
  ['h', 3600],
  ['hour', 3600],
  ['hours', 3600],
]);

const TIME = /([\d.]+)\s*([a-z]+)\s*/giu;
const WHOLE = /^(?:[\d.]+\s*[a-z]+\s*)+$/iu;
/** A week; a soak beyond that is a slip of the finger. */
const LONGEST = 7 * 24 * 3600;

/**
 * Seconds in some words.
 * @throws {InputError} when they are no duration
 */
export function scanDuration(line: Line, words: readonly Word[]): number {
  const text = words.map((word) => word.text).join(' ');
  const times = WHOLE.test(text) ? [...text.matchAll(TIME)] : [];
  const seconds = times.reduce(
    (sum, [, number = '', unit = '']) =>
      sum + Number(number) * (SECONDS.get(unit.toLowerCase()) ?? Number.NaN),
    0,
  );
  const whole = Math.round(seconds);
  if (whole >= 1 && whole <= LONGEST) return whole;
  const message = text === '' ? 'the time is missing' : `"${text}" is no time for a soak`;
  refuse(line, words, { code: 'BAD_TIME', message, hint: 'write 60 min, 2 h or 1 h 30 min' });
}

/** The duration as the notation writes it: in the largest unit that leaves no rest. */
export function printDuration(seconds: number): string {
  if (seconds % 3600 === 0) return `${seconds / 3600} h`;
  return seconds % 60 === 0 ? `${seconds / 60} min` : `${seconds} s`;
}
