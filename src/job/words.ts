/** Words of one line of the notation, and errors that point at them. */
import { type Diagnostic, InputError, type Place } from '../board/diagnostic.ts';

/** A blank-separated word; `column` counts from 0 in the line it was split from. */
export interface Word {
  readonly text: string;
  readonly column: number;
}

/** Where a line of the notation stands: in a file, or typed at a prompt. */
export interface SayPlace {
  /** File name as given; `typed` for a prompt or an argument. */
  readonly file: string;
  /** From 1. */
  readonly line: number;
  /** Column, from 1, at which the notation starts in `text`; 1 when left out. */
  readonly column?: number;
  /** The whole line as it stands in the file; the notation itself when left out. */
  readonly text?: string;
}

/** The line being read and where its columns lie. */
export interface Line {
  readonly text: string;
  readonly place: SayPlace;
}

/** Wraps a text; a text typed at a prompt has no place of its own. */
export function lineOf(text: string, place?: SayPlace): Line {
  return { text, place: place ?? { file: 'typed', line: 1 } };
}

/** Splits at blanks and nothing else: names may hold any other character. */
export function splitWords(text: string): Word[] {
  return [...text.matchAll(/\S+/gu)].map((match) => ({ text: match[0], column: match.index }));
}

/** The span from the first to the last of the words; of the line's end when there are none. */
export function placeOf(line: Line, words: readonly Word[]): Place {
  const offset = line.place.column ?? 1;
  const first = words[0]?.column ?? line.text.trimEnd().length;
  const last = words.at(-1);
  const end = last === undefined ? first + 1 : last.column + last.text.length;
  return {
    file: line.place.file,
    line: line.place.line,
    column: offset + first,
    endColumn: offset + end,
    text: line.place.text ?? line.text,
  };
}

/** One error about some words of the line. */
export function problem(
  line: Line,
  words: readonly Word[],
  fault: { code: string; message: string; hint?: string | undefined },
): Diagnostic {
  const { code, message, hint } = fault;
  const place = placeOf(line, words);
  return { code, severity: 'error', message, place, ...(hint === undefined ? {} : { hint }) };
}

/** Throws one error about some words of the line. */
export function refuse(
  line: Line,
  words: readonly Word[],
  fault: { code: string; message: string; hint?: string | undefined },
): never {
  throw new InputError([problem(line, words, fault)]);
}
