/** First half of reading the notation: its shape, before any name is looked up on a board. */
import { LINE_WORDS, SHARED_WORDS } from '../board/names.ts';
import { nearest } from '../board/nearest.ts';
import type { LookFinding } from '../faults/evidence.ts';
import { growthVerb, type ScannedGrowth, scanGrowth } from './growth/scan.ts';
import { type ScannedInjection, scanInjection } from './injection/scan.ts';
import { isJobVerb, type ScannedOfJob, scanOfJob } from './scan-job.ts';
import { type ScannedPass, scanPass } from './scan-pass.ts';
import { splitColon } from './split-colon.ts';
import { isValue, type MeterValue, scanValue, startsValue } from './value.ts';
import { type Line, refuse, splitWords, type Word } from './words.ts';

/** One line of the notation with its names still as words. */
export type Scanned =
  | {
      readonly do: 'read';
      /** The part read off the board, when it is. */
      readonly off?: Word;
      readonly red: Word;
      readonly black: Word;
      readonly meter: MeterValue;
    }
  | { readonly do: NamesVerb; readonly verb: Word; readonly names: readonly Word[] }
  | {
      readonly do: 'look';
      readonly verb: Word;
      readonly at: readonly Word[];
      readonly finding: LookFinding;
      readonly findingWords: readonly Word[];
    }
  | { readonly do: 'undo' | 'redo'; readonly count: number }
  | { readonly do: 'note'; readonly text: string }
  | ScannedPass
  | ScannedReach
  | ScannedInjection
  | ScannedGrowth
  | ScannedOfJob;

/** A part, pin or net that probes cannot reach, or can again. */
export interface ScannedReach {
  readonly do: 'unreachable' | 'reachable';
  readonly name: Word;
  readonly text?: string;
}

export type NamesVerb =
  | 'lift'
  | 'remove'
  | 'refit'
  | 'replace'
  | 'reflow'
  | 'clean'
  | 'mend'
  | 'link';

/** Findings in the words of the notation. */
export const FINDINGS: readonly LookFinding[] = [
  'burnt',
  'cracked',
  'leaking',
  'reworked',
  'dirty',
  'missing',
  'wrong part',
  'off its pad',
  'warm',
  'looks sound',
];

const EXAMPLE: Readonly<Record<NamesVerb, string>> = {
  lift: 'lift Q3.D',
  remove: 'remove Q3 Q4',
  refit: 'refit W3',
  replace: 'replace Q3',
  reflow: 'reflow Q3.D',
  clean: 'clean P48 GND',
  mend: 'mend P48',
  link: 'link P48 P48_FAN',
};

/** Fewest and most names after each verb. */
const NAMES: Readonly<Record<NamesVerb, readonly [number, number]>> = {
  lift: [1, Number.POSITIVE_INFINITY],
  remove: [1, Number.POSITIVE_INFINITY],
  refit: [1, Number.POSITIVE_INFINITY],
  replace: [1, Number.POSITIVE_INFINITY],
  reflow: [1, Number.POSITIVE_INFINITY],
  clean: [2, 2],
  mend: [1, 1],
  link: [2, 2],
};

/**
 * Takes one line apart.
 * @param isPoint whether the board has a point of that name, for words that may be either; any
 *   word may be one when there is no board to ask
 * @param isInjecting a current is on, so that volts from the pads are read along the copper
 * @throws {InputError} when it is no line of the notation
 */
export function scanSay(
  line: Line,
  isPoint: (word: Word) => boolean = () => true,
  isInjecting = false,
): Scanned {
  const words = splitWords(line.text);
  const [first, ...rest] = words;
  if (first === undefined) {
    refuse(line, [], { code: 'EMPTY_LINE', message: 'nothing was said', hint: HOW_TO_READ });
  }
  const verb = first.text.toLowerCase();
  if (verb === 'off') return scanOff(line, first, rest);
  if (verb === 'look') return scanLook(line, first, rest);
  if (verb === 'undo') return scanCount(line, verb, rest);
  if (verb === 'note') return scanNote(line, first);
  if (isNamesVerb(verb)) return scanNames(line, verb, first, rest);
  const isName =
    SHARED_WORDS.includes(verb) && isValue(line, words.slice(2), { isInjecting }) && isPoint(first);
  if (verb === 'redo' && !isName) return scanCount(line, verb, rest);
  if (verb === 'pass' && !isName) return scanPass(line, first, rest);
  if ((verb === 'unreachable' || verb === 'reachable') && !isName) {
    return scanReach(line, verb, first, rest);
  }
  if (verb === 'inject' && !isName) return scanInjection(line, first, rest);
  if (isJobVerb(verb) && !isName) return scanOfJob(line, verb, first, rest);
  const seen = isValue(line, words.slice(2), { isInjecting }) ? undefined : growthVerb(words);
  if (seen !== undefined) return scanGrowth(line, seen, words);
  return scanReading(line, words, isInjecting);
}

const HOW_TO_READ = 'a reading is red point, black point, value: P48 GND beep';

function isNamesVerb(text: string): text is NamesVerb {
  return Object.hasOwn(NAMES, text);
}

function scanNames(line: Line, verb: NamesVerb, word: Word, names: readonly Word[]): Scanned {
  const [fewest, most] = NAMES[verb];
  if (names.length < fewest || names.length > most) {
    const count = `${names.length} name${names.length === 1 ? '' : 's'}`;
    const message = `"${word.text}" takes ${fewest}${most > fewest ? ' or more' : ''}, not ${count}`;
    refuse(line, [word, ...names], { code: 'NAME_COUNT', message, hint: `e.g. ${EXAMPLE[verb]}` });
  }
  return { do: verb, verb: word, names };
}

function scanReading(line: Line, words: readonly Word[], isInjecting: boolean): Scanned {
  const [red, black, ...value] = words;
  const isReading = value[0] !== undefined && startsValue(value[0].text);
  const meant =
    red === undefined || isReading ? undefined : nearest(red.text.toLowerCase(), LINE_WORDS);
  if (red !== undefined && meant !== undefined) {
    const message = `"${red.text}" is neither a point of a reading nor a word of the notation`;
    refuse(line, [red], { code: 'UNKNOWN_WORD', message, hint: `did you mean "${meant}"?` });
  }
  if (red === undefined || black === undefined || value.length === 0) {
    const message = `"${line.text.trim()}" is not a whole reading`;
    refuse(line, words, { code: 'NOT_A_READING', message, hint: HOW_TO_READ });
  }
  return { do: 'read', red, black, meter: scanValue(line, value, { isInjecting }) };
}

function scanOff(line: Line, verb: Word, rest: readonly Word[]): Scanned {
  const [name, ...after] = splitColon(rest);
  const [red, black, ...value] = after;
  if (name === undefined || red === undefined || black === undefined || value.length === 0) {
    const message = 'a part read off the board needs its name, two of its pins and the value';
    const hint = 'e.g. off Q3: D S 0.4 ohm';
    refuse(line, [verb, ...rest], { code: 'NOT_A_READING', message, hint });
  }
  return { do: 'read', off: name, red, black, meter: scanValue(line, value) };
}

function scanLook(line: Line, verb: Word, words: readonly Word[]): Scanned {
  for (const finding of FINDINGS) {
    const length = finding.split(' ').length;
    const tail = words.slice(-length);
    if (tail.map((word) => word.text.toLowerCase()).join(' ') !== finding) continue;
    const at = words.slice(0, -length);
    if (at.length === 1 || at.length === 2) {
      return { do: 'look', verb, at, finding, findingWords: tail };
    }
    const message = 'a look is at one part, one of its pins, or the copper between two nets';
    const hint = 'e.g. look Q3 burnt, look Q3.D off its pad, look P48 GND looks sound';
    refuse(line, [verb, ...words], { code: 'BAD_LOOK', message, hint });
  }
  const said = words.slice(1).map((word) => word.text);
  const meant = nearest(said.join(' ').toLowerCase(), FINDINGS);
  const message = `"${said.join(' ')}" is not a finding`;
  const hint =
    meant === undefined ? `findings are ${FINDINGS.join(', ')}` : `did you mean "${meant}"?`;
  refuse(line, words.slice(1), { code: 'UNKNOWN_FINDING', message, hint });
}

function scanCount(line: Line, verb: 'undo' | 'redo', words: readonly Word[]): Scanned {
  const [count, ...extra] = words;
  if (count === undefined) return { do: verb, count: 1 };
  if (extra.length > 0 || !/^[1-9]\d{0,5}$/u.test(count.text)) {
    const message = `"${words.map((word) => word.text).join(' ')}" is not a number of events`;
    refuse(line, words, { code: 'BAD_COUNT', message, hint: `write ${verb}, or ${verb} 3` });
  }
  return { do: verb, count: Number(count.text) };
}

function scanReach(
  line: Line,
  verb: ScannedReach['do'],
  word: Word,
  [name, next]: readonly Word[],
): Scanned {
  if (name === undefined) {
    const message = `"${word.text}" needs a part, a pin or a net`;
    const hint = `e.g. ${verb} Q3.G under the shield`;
    refuse(line, [word], { code: 'NOT_WHOLE', message, hint });
  }
  if (next === undefined) return { do: verb, name };
  return { do: verb, name, text: line.text.slice(next.column).trim() };
}

function scanNote(line: Line, verb: Word): Scanned {
  const text = line.text.slice(verb.column + verb.text.length).trim();
  if (text === '') {
    const message = 'the note is empty';
    refuse(line, [verb], { code: 'EMPTY_NOTE', message, hint: 'e.g. note fan was jammed' });
  }
  return { do: 'note', text };
}
