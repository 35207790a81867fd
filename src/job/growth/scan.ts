import type { Line, Word } from '../words.ts';
import { refuse } from '../words.ts';

/** A statement of what an eye saw, its names still words. */
export type ScannedGrowth =
  | {
      readonly do: 'joins';
      readonly part: Word;
      readonly ends: readonly [ScannedEnd, ScannedEnd];
      readonly instead: boolean;
    }
  | {
      readonly do: 'goes';
      readonly pin: ScannedPin;
      readonly to: ScannedEnd;
      readonly instead: boolean;
    }
  | {
      readonly do: 'is';
      readonly part: Word;
      readonly what: readonly Word[];
      readonly instead: boolean;
    };

/** Whether what was said is of the board as an eye saw it. */
export function isGrowth<T extends { readonly do: string }>(
  said: T,
): said is Extract<T, { do: 'joins' | 'goes' | 'is' }> {
  return said.do === 'joins' || said.do === 'goes' || said.do === 'is';
}

/** `D7.K` in one word or in two. */
export interface ScannedPin {
  readonly words: readonly Word[];
  readonly text: string;
}

export interface ScannedEnd extends ScannedPin {
  readonly isNew: boolean;
}

const FILLERS = new Set(['and', 'to', 'with']);
const ARTICLES = new Set(['a', 'an', 'the']);

/** The word that makes a line a statement, where it has one: which word of the line it is. */
export function growthVerb(words: readonly Word[]): 'joins' | 'goes' | 'is' | undefined {
  const [, second, third, fourth] = words.map((word) => word.text.toLowerCase());
  if (second === 'joins' || second === 'is') return words.length > 2 ? second : undefined;
  if (second === 'goes' && third === 'to') return 'goes';
  return third === 'goes' && fourth === 'to' ? 'goes' : undefined;
}

/**
 * Takes a statement apart: `W5 joins P24 and P24B`, `D7 K goes to Q3 D`, `D7 is a diode`.
 * @throws {InputError} when it is not whole
 */
export function scanGrowth(
  line: Line,
  verb: 'joins' | 'goes' | 'is',
  words: readonly Word[],
): ScannedGrowth {
  const instead = words.at(-1)?.text.toLowerCase() === 'instead';
  const said = instead ? words.slice(0, -1) : words;
  const [part] = said;
  if (part === undefined) throw new Error('a statement has words');
  if (verb === 'is') return scanIs(line, part, said.slice(2), instead);
  if (verb === 'joins') return scanJoins(line, part, said, instead);
  const at = said.findIndex((word) => word.text.toLowerCase() === 'goes');
  const to = endIn(said.slice(at + 2));
  if (to !== undefined) return { do: 'goes', pin: pinIn(said.slice(0, at)), to, instead };
  refuse(line, said.slice(at), {
    code: 'NOT_WHOLE',
    message: 'a pin goes to one net, or to one other pin',
    hint: 'e.g. D7.K goes to Q3.D, D7.K goes to new CLAMP',
  });
}

function scanIs(line: Line, part: Word, rest: readonly Word[], instead: boolean): ScannedGrowth {
  const isArticle = ARTICLES.has(rest[0]?.text.toLowerCase() ?? '');
  const what = isArticle ? rest.slice(1) : rest;
  if (what.length > 0) return { do: 'is', part, what, instead };
  const message = `what is ${part.text}?`;
  refuse(line, [part], {
    code: 'NOT_WHOLE',
    message,
    hint: 'e.g. D7 is a diode, C12 is 470 uF 63 V',
  });
}

function scanJoins(line: Line, part: Word, said: readonly Word[], instead: boolean): ScannedGrowth {
  const ends = endsIn(said.slice(2));
  const [a, b] = ends;
  if (a !== undefined && b !== undefined && ends.length === 2)
    return { do: 'joins', part, ends: [a, b], instead };
  refuse(line, said.slice(1), {
    code: 'NOT_WHOLE',
    message: 'a jumper joins two nets',
    hint: 'e.g. W5 joins P24 and P24B',
  });
}

/** Points one after the other: `new` before one, `and` between two. */
function endsIn(words: readonly Word[]): ScannedEnd[] {
  const at = words.findIndex((word) => FILLERS.has(word.text.toLowerCase()));
  const pieces = at < 0 ? splitBare(words) : [words.slice(0, at), words.slice(at + 1)];
  return pieces.flatMap((piece) => endIn(piece) ?? []);
}

/** One point; a part and its pin may be two words. */
function endIn(words: readonly Word[]): ScannedEnd | undefined {
  const isNew = words[0]?.text.toLowerCase() === 'new' && words.length > 1;
  const own = isNew ? words.slice(1) : words;
  return own.length === 0 || own.length > 2 ? undefined : { ...pinIn(own), isNew };
}

/** Without a word between them each is a point of its own. */
function splitBare(words: readonly Word[]): Word[][] {
  const pieces: Word[][] = [];
  for (const word of words) {
    const before = pieces.at(-1);
    if (before?.length === 1 && before[0]?.text.toLowerCase() === 'new') before.push(word);
    else pieces.push([word]);
  }
  return pieces;
}

function pinIn(words: readonly Word[]): ScannedPin {
  return { words, text: words.map((word) => word.text).join('.') };
}
