import type { Complaint } from '../findings.ts';
import { nearest } from '../nearest.ts';
import { parseQuantity } from '../units.ts';

/** One thing to be known about a board before its parts can be listed. */
export type Question = {
  /** What it is called in `name=value`. */
  readonly name: string;
  /** Asked at a terminal. */
  readonly ask: string;
} & (
  | { readonly is: 'count'; readonly least: number; readonly most: number; readonly usual: number }
  /** V, above zero. */
  | { readonly is: 'volts'; readonly most: number; readonly usual: number }
  /** Several voltages, V: `24 5`. */
  | { readonly is: 'volts-list'; readonly most: number; readonly usual: readonly number[] }
  | { readonly is: 'yes-or-no'; readonly usual: boolean }
  | { readonly is: 'choice'; readonly words: readonly string[]; readonly usual: string }
  /** First designators: `Q101 R201`, or one number for all letters. */
  | { readonly is: 'designators'; readonly usual: string }
  | { readonly is: 'text'; readonly usual: string }
);

export type Answer = number | boolean | string | readonly number[];

/** Longest list of voltages: more outputs than that are drawn as several boards. */
const MOST_IN_LIST = 6;

/** Reads an answer as it was typed; a complaint says what was asked for. */
export function readAnswer(question: Question, typed: string): Answer | Complaint {
  const text = typed.trim();
  switch (question.is) {
    case 'count':
      return readCount(text, question);
    case 'volts':
      return (
        readVolts(text, question.most) ?? bad(text, `volts above 0 and up to ${question.most}`)
      );
    case 'volts-list':
      return readVoltsList(text, question.most);
    case 'yes-or-no':
      if (/^(y|yes|true)$/i.test(text)) return true;
      return /^(n|no|false)$/i.test(text) ? false : bad(text, 'yes or no');
    case 'choice':
      return readChoice(text, question.words);
    case 'designators':
      return firstNumbers(text) === undefined
        ? bad(text, 'a list of first designators, such as Q101 R201, or one number for all')
        : text;
    case 'text':
      return /^[^\p{C}]{1,150}$/u.test(text) ? text : bad(text, 'a name on one line');
  }
}

/** An answer as it would be typed. */
export function printAnswer(answer: Answer): string {
  if (typeof answer === 'boolean') return answer ? 'yes' : 'no';
  return typeof answer === 'object' ? answer.join(' ') : String(answer);
}

/**
 * First numbers by designator letters, `*` for all not named; undefined when the text is no such list.
 */
export function firstNumbers(text: string): ReadonlyMap<string, number> | undefined {
  const firsts = new Map<string, number>();
  for (const word of text.split(/[\s,]+/).filter((piece) => piece !== '')) {
    const match = /^([A-Za-z]{0,3})([1-9]\d{0,4})$/.exec(word);
    if (match === null) return undefined;
    firsts.set(match[1] === '' ? '*' : (match[1] ?? '').toUpperCase(), Number(match[2]));
  }
  return firsts;
}

function readCount(
  text: string,
  { least, most }: { least: number; most: number },
): number | Complaint {
  const count = /^\d{1,6}$/.test(text) ? Number(text) : Number.NaN;
  return count >= least && count <= most
    ? count
    : bad(text, `a whole number from ${least} to ${most}`);
}

function readVolts(text: string, most: number): number | undefined {
  const volts = parseQuantity(text, 'volts');
  return volts !== undefined && volts >= 0.5 && volts <= most ? volts : undefined;
}

function readVoltsList(text: string, most: number): readonly number[] | Complaint {
  const volts = text
    .split(/[\s,]+/)
    .filter((word) => word !== '' && !/^v$/i.test(word))
    .map((word) => readVolts(word, most));
  const sure = volts.filter((each) => each !== undefined);
  const isList = sure.length === volts.length && sure.length > 0 && sure.length <= MOST_IN_LIST;
  return isList ? sure : bad(text, `one to ${MOST_IN_LIST} voltages up to ${most}, such as 24 5`);
}

function readChoice(text: string, words: readonly string[]): string | Complaint {
  const found = words.find((word) => word === text.toLowerCase());
  if (found !== undefined) return found;
  const near = nearest(text, words);
  return bad(text, `one of ${words.join(', ')}`, near && `did you mean "${near}"?`);
}

function bad(text: string, asked: string, hint?: string): Complaint {
  return { code: 'BAD_VALUE', message: `"${text}" is not ${asked}`, hint };
}

export function isComplaint(answer: Answer | Complaint): answer is Complaint {
  return typeof answer === 'object' && 'message' in answer;
}
