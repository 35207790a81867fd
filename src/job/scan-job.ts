/** Lines of the notation about the job as a whole, before any name is looked up on a board. */
import { nearest } from '../board/nearest.ts';
import { parseScaled } from './decimal.ts';
import { scanDuration } from './duration.ts';
import {
  type SayOfJob,
  SIGN_OFFS,
  SKIPPABLE,
  type TabValue,
  TICK_ITEMS,
  type TickItem,
} from './say.ts';
import { AMPS, CELSIUS, miss, type Said, scanAmount, VOLTS } from './scan-amount.ts';
import { scanValue } from './value.ts';
import { type Line, refuse, type Word } from './words.ts';

/** Verbs that name nothing on the board; their lines are whole once they are taken apart. */
type PlainVerb =
  | 'customer'
  | 'arrived'
  | 'marking'
  | 'technician'
  | 'power'
  | 'function'
  | 'soak'
  | 'skip'
  | 'written'
  | 'sign-off';

/** One line about the job with its names still as words. */
export type ScannedOfJob =
  | Extract<SayOfJob, { do: PlainVerb }>
  | {
      readonly do: 'photo';
      readonly file: string;
      /** What follows the file: a part or pin, words, both or neither. */
      readonly rest: readonly Word[];
    }
  | {
      readonly do: 'residual' | 'powered';
      readonly red: Word;
      readonly black: Word;
      readonly volts: number;
    }
  | { readonly do: 'isolation'; readonly part: Word; readonly value: TabValue }
  | { readonly do: 'tick'; readonly names: readonly Word[]; readonly item: TickItem }
  | { readonly do: 'draws'; readonly rail: readonly Word[]; readonly amps: number }
  | { readonly do: 'temp'; readonly part: Word; readonly celsius: number }
  | {
      readonly do: 'at';
      /** A part, or a pin of one. */
      readonly name: Word;
      readonly xy: readonly [number, number];
      readonly side?: 'top' | 'bottom';
    };

export type JobVerb = ScannedOfJob['do'];

/** One line as an example for each verb. */
const EXAMPLE: Readonly<Record<JobVerb, string>> = {
  customer: 'customer hums and trips the breaker',
  arrived: 'arrived without its cover, two screws missing',
  marking: 'marking label 4711, rev 3',
  technician: 'technician Ada',
  photo: 'photo arrived.jpg Q3 burnt corner',
  residual: 'residual P48 GND 0.4 V',
  powered: 'powered P48 GND 47.9 V',
  isolation: 'isolation Q3 OL',
  tick: 'tick Q3 fastened',
  draws: 'draws bus 0.12 A',
  power: 'power 1 passed, or power 1 stopped and why',
  function: 'function passed motor turns both ways',
  soak: 'soak start 60 min, soak finding and what, soak passed, soak stopped and why',
  temp: 'temp Q3 71 C',
  skip: 'skip look-over and why',
  at: 'at C12 31.5 20, at C12.1 31.5 20 top',
  written: 'written 64 hex digits, by trace-short board FILE --with JOB --write',
  'sign-off': 'sign-off cleared, sign-off returned or sign-off uneconomic',
};

/** Whether a word starts a line about the job. */
export function isJobVerb(text: string): text is JobVerb {
  return Object.hasOwn(EXAMPLE, text);
}

/**
 * Takes a line about the job apart.
 * @throws {InputError} when it is not whole
 */
export function scanOfJob(
  line: Line,
  verb: JobVerb,
  word: Word,
  words: readonly Word[],
): ScannedOfJob {
  const said = { line, verb: word, words };
  switch (verb) {
    case 'customer':
    case 'arrived':
    case 'marking':
    case 'technician':
      return { do: verb, text: needText(said, verb, 0) };
    case 'photo':
      return scanPhoto(said);
    case 'residual':
    case 'powered':
      return scanVolts(said, verb);
    case 'isolation':
      return scanIsolation(said);
    case 'tick':
      return scanTick(said);
    case 'draws':
      return scanDraws(said);
    case 'temp':
      return scanTemp(said);
    case 'at':
      return scanAt(said);
    case 'power':
      return scanPower(said);
    case 'function': {
      const result = oneOf(said, 0, ['passed', 'failed'] as const, EXAMPLE.function);
      return { do: verb, result, text: needText(said, verb, 1) };
    }
    case 'soak':
      return scanSoak(said);
    case 'written':
      return scanWritten(said);
    case 'skip': {
      const stage = oneOf(said, 0, SKIPPABLE, EXAMPLE.skip);
      return { do: verb, stage, text: needText(said, verb, 1) };
    }
    case 'sign-off': {
      const result = oneOf(said, 0, SIGN_OFFS, EXAMPLE['sign-off']);
      return { do: verb, result, ...textFrom(said, 1) };
    }
  }
}

/** What stands from word `at` on, as it was typed; nothing when there is no such word. */
function textFrom({ line, words }: Said, at: number): { readonly text?: string } {
  const first = words[at];
  return first === undefined ? {} : { text: line.text.slice(first.column).trim() };
}

function needText(said: Said, verb: JobVerb, at: number): string {
  const { text } = textFrom(said, at);
  if (text !== undefined) return text;
  const head = [said.verb, ...said.words].map((word) => word.text).join(' ');
  return miss(said, 'NO_WORDS', `"${head}" needs words after it`, `e.g. ${EXAMPLE[verb]}`);
}

/** The word at a place, which must be one of a few. */
function oneOf<T extends string>(said: Said, at: number, known: readonly T[], example: string): T {
  const word = said.words[at];
  const list = known.join(', ');
  if (word === undefined) {
    return miss(said, 'NOT_WHOLE', `"${said.verb.text}" needs one of ${list}`, `e.g. ${example}`);
  }
  const text = word.text.toLowerCase();
  const found = known.find((each) => each === text);
  if (found !== undefined) return found;
  const meant = nearest(text, known);
  const hint = meant === undefined ? `it is one of ${list}` : `did you mean "${meant}"?`;
  const message = `"${word.text}" cannot follow "${said.verb.text}" here`;
  refuse(said.line, [word], { code: 'UNKNOWN_CHOICE', message, hint });
}

function scanPhoto(said: Said): ScannedOfJob {
  const { line, words } = said;
  const [first] = words;
  if (first === undefined) {
    return miss(said, 'NOT_WHOLE', 'a photo needs its file name', `e.g. ${EXAMPLE.photo}`);
  }
  const quoted = /^"((?:[^"]|"")*)"(?=\s|$)/u.exec(line.text.slice(first.column));
  const file = quoted === null ? first.text : (quoted[1] ?? '').replaceAll('""', '"');
  const end = first.column + (quoted === null ? first.text : quoted[0]).length;
  const spot = { text: line.text.slice(first.column, end), column: first.column };
  if (quoted === null && file.includes('"')) {
    const hint = 'write photo "front side.jpg"; a quote inside is written twice';
    refuse(line, [spot], { code: 'BAD_FILE', message: 'the quotes do not close', hint });
  }
  if (leavesFolder(file)) {
    const message = `"${file}" is not beside the job file`;
    const hint = 'put the photo into the folder of the job file, or into a folder below it';
    refuse(line, [spot], { code: 'BAD_FILE', message, hint });
  }
  return { do: 'photo', file, rest: words.filter((word) => word.column >= end) };
}

function leavesFolder(file: string): boolean {
  const steps = file.split(/[\\/]/u);
  return file.trim() === '' || /^[\\/]|^[a-z]:|^[a-z]+:\/\//iu.test(file) || steps.includes('..');
}

function scanVolts(said: Said, verb: 'residual' | 'powered'): ScannedOfJob {
  const [red, black] = said.words;
  if (red === undefined || black === undefined) {
    const message = `"${said.verb.text}" needs two points and the volts between them`;
    return miss(said, 'NOT_WHOLE', message, `e.g. ${EXAMPLE[verb]}`);
  }
  return { do: verb, red, black, volts: scanAmount(said, 2, VOLTS, EXAMPLE[verb]) };
}

/** A rail's name may hold blanks: what stands before the value is the name. */
function scanDraws(said: Said): ScannedOfJob {
  const { words } = said;
  const last = words.at(-1)?.text ?? '';
  const from = words.length - (/^[+-]?[\d.,]/u.test(last) ? 1 : 2);
  if (from < 1) {
    const message = 'a current needs the name of its rail and the amps';
    return miss(said, 'NOT_WHOLE', message, `e.g. ${EXAMPLE.draws}`);
  }
  const amps = scanAmount(said, from, AMPS, EXAMPLE.draws);
  return { do: 'draws', rail: words.slice(0, from), amps };
}

function scanTemp(said: Said): ScannedOfJob {
  const [part] = said.words;
  if (part === undefined) {
    const message = 'a temperature needs its part and the degrees Celsius';
    return miss(said, 'NOT_WHOLE', message, `e.g. ${EXAMPLE.temp}`);
  }
  return { do: 'temp', part, celsius: scanAmount(said, 1, CELSIUS, EXAMPLE.temp) };
}

/** Two figures in mm, a comma or the unit between them at will, and a side. */
const PLACE = /^([+-]?[\d.]+)(?:\s*mm)?(?:\s*,\s*|\s+)([+-]?[\d.]+)(?:\s*mm)?(?:\s+(\S+))?$/iu;

/** No board is larger; a figure beyond it is a slip or another unit. */
const FARTHEST_MM = 2000;

function scanAt(said: Said): ScannedOfJob {
  const [name, ...words] = said.words;
  const text = words.map((word) => word.text).join(' ');
  const [, left = '', up = '', word] = PLACE.exec(text) ?? [];
  const [x, y] = [parseScaled(left, 0), parseScaled(up, 0)];
  if (name === undefined || x === undefined || y === undefined) {
    const message = 'a place needs a part or pin, and x and y in mm';
    return miss(said, 'NOT_WHOLE', message, `e.g. ${EXAMPLE.at}`);
  }
  if (Math.max(Math.abs(x), Math.abs(y)) > FARTHEST_MM) {
    const message = `"${text}" is farther than any board reaches`;
    refuse(said.line, words, { code: 'BAD_VALUE', message, hint: 'x and y are in mm' });
  }
  if (word === undefined) return { do: 'at', name, xy: [x, y] };
  const last = { ...said, words: words.slice(-1) };
  return { do: 'at', name, xy: [x, y], side: oneOf(last, 0, ['top', 'bottom'], EXAMPLE.at) };
}

/** The tool alone says this. */
function scanWritten(said: Said): ScannedOfJob {
  const [digest, ...more] = said.words;
  if (digest !== undefined && more.length === 0 && /^[0-9a-f]{64}$/u.test(digest.text)) {
    return { do: 'written', digest: digest.text };
  }
  const hint = 'trace-short board FILE --with JOB --write says it by itself';
  return miss(said, 'NOT_WHOLE', 'this line tells which board file holds what was seen', hint);
}

function scanIsolation(said: Said): ScannedOfJob {
  const [part, ...rest] = said.words;
  if (part === undefined || rest.length === 0) {
    const message = 'a tab reading needs its part and what the ohms range showed';
    return miss(said, 'NOT_WHOLE', message, `e.g. ${EXAMPLE.isolation}`);
  }
  const { mode, value } = scanValue(said.line, rest);
  if (mode === 'ohms' && (value.kind === 'ohms' || value.kind === 'over')) {
    return { do: 'isolation', part, value };
  }
  const message = `"${rest.map((word) => word.text).join(' ')}" tells too little of an insulator`;
  const hint = 'read it in the ohms range: isolation Q3 OL, isolation Q3 20 Mohm';
  refuse(said.line, rest, { code: 'VALUE_MODE', message, hint });
}

function scanTick(said: Said): ScannedOfJob {
  const { line, words } = said;
  const long = TICK_ITEMS.find((item) => endsWith(words, item));
  const length = long?.split(' ').length ?? 1;
  const names = words.slice(0, -length);
  if (words.length < 2 || (long !== undefined && names.length === 0)) {
    const message = 'a tick needs a part and what was done';
    return miss(said, 'NOT_WHOLE', message, `e.g. ${EXAMPLE.tick}`);
  }
  if (long !== undefined) return { do: 'tick', names, item: long };
  const after = words.slice(1);
  const text = after.map((word) => word.text).join(' ');
  const meant = nearest(text.toLowerCase(), TICK_ITEMS);
  const hint =
    meant === undefined ? `items are ${TICK_ITEMS.join(', ')}` : `did you mean "${meant}"?`;
  refuse(line, after, { code: 'UNKNOWN_ITEM', message: `"${text}" is not an item`, hint });
}

function endsWith(words: readonly Word[], item: string): boolean {
  const tail = words.slice(-item.split(' ').length);
  return tail.map((word) => word.text.toLowerCase()).join(' ') === item;
}

function scanPower(said: Said): ScannedOfJob {
  const [number] = said.words;
  if (number === undefined || !/^[1-9]\d?$/u.test(number.text)) {
    const message = 'power needs the number of a stage of the power-up plan';
    const hint = `e.g. ${EXAMPLE.power}`;
    refuse(said.line, [number ?? said.verb], { code: 'BAD_STAGE', message, hint });
  }
  const stage = Number(number.text);
  const result = oneOf(said, 1, ['passed', 'stopped'] as const, EXAMPLE.power);
  if (result === 'passed') return { do: 'power', stage, result, ...textFrom(said, 2) };
  return { do: 'power', stage, result, text: needText(said, 'power', 2) };
}

function scanSoak(said: Said): ScannedOfJob {
  const known = ['start', 'finding', 'passed', 'stopped'] as const;
  const what = oneOf(said, 0, known, EXAMPLE.soak);
  if (what === 'start') {
    return { do: 'soak', what, seconds: scanDuration(said.line, said.words.slice(1)) };
  }
  if (what === 'passed') return { do: 'soak', what, ...textFrom(said, 1) };
  return { do: 'soak', what, text: needText(said, 'soak', 1) };
}
