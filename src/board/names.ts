import type { TextShape } from './shape.ts';

/** Words that start a line of the notation and are no name: readings, work on the board, looks. */
const KEPT_WORDS: readonly string[] = [
  'off',
  'lift',
  'remove',
  'refit',
  'replace',
  'reflow',
  'clean',
  'mend',
  'link',
  'look',
  'undo',
  'note',
];

/**
 * Words that start a line of the notation and may be names all the same: real boards have nets
 * called `TEMP` and `POWER`. Where the board has such a point, a whole reading behind it decides.
 */
export const SHARED_WORDS: readonly string[] = [
  'customer',
  'arrived',
  'marking',
  'technician',
  'photo',
  'residual',
  'isolation',
  'tick',
  'powered',
  'draws',
  'power',
  'function',
  'soak',
  'temp',
  'inject',
  'skip',
  'at',
  'sign-off',
  'written',
  'redo',
  'pass',
  'unreachable',
  'reachable',
];

/** Words a line of the notation may start with besides a point. */
export const LINE_WORDS: readonly string[] = [...KEPT_WORDS, ...SHARED_WORDS];

/** Words with a meaning of their own in the reading notation; no name may be one, in any case. */
export const RESERVED_WORDS: readonly string[] = [...KEPT_WORDS, 'beep', 'quiet', 'OL'];

/** Names that mean something to JavaScript objects; refused so that no reader of a name can trip. */
const OBJECT_WORDS = ['__proto__', 'constructor', 'prototype'];

/** True for a name that a board file refuses for JavaScript's sake. */
export function isObjectWord(name: string): boolean {
  return OBJECT_WORDS.includes(name);
}

const MOST_LETTERS = 200;

/** Spelt out per letter, since JSON Schema patterns know no ignore-case mark. */
function anyCase(word: string): string {
  return [...word].map((c) => `[${c.toLowerCase()}${c.toUpperCase()}]`).join('');
}

const NOTATION_WORDS = [...RESERVED_WORDS.map(anyCase), ...OBJECT_WORDS];

function namePattern(refusedLetters: string, refusedWords: readonly string[]): string {
  return `^(?!(?:${refusedWords.join('|')})$)[^\\s\\p{C}${refusedLetters}]{1,${MOST_LETTERS}}$`;
}

/** A part name ends where a pin name begins, so it has no dot; `:` and `,` belong to the notation. */
export const PART_NAME: TextShape = {
  is: 'text',
  pattern: namePattern('.:,', NOTATION_WORDS),
  asks: 'a part name without spaces, dots, commas and colons',
};

export const NET_NAME: TextShape = {
  is: 'text',
  pattern: namePattern('', NOTATION_WORDS),
  asks: 'a net name without spaces',
};

/** A pin is always named after its part, so that words of the notation cannot be mistaken here. */
export const PIN_NAME: TextShape = {
  is: 'text',
  pattern: namePattern('.:,', OBJECT_WORDS),
  numbers: 'integer',
  asks: 'a pin name without spaces, dots, commas and colons',
};

/** Names of rails, windings, modes, kinds: free text on one line. */
export const LABEL: TextShape = {
  is: 'text',
  pattern: `^(?!(?:${OBJECT_WORDS.join('|')})$)(?! )[^\\p{C}]{1,${MOST_LETTERS}}(?<! )$`,
  asks: 'a name on one line',
};

/** True for a word the notation keeps for itself. */
export function isReserved(word: string): boolean {
  return RESERVED_WORDS.some((reserved) => reserved.toLowerCase() === word.toLowerCase());
}
