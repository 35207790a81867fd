/** What is said as an object, `{do: "remove", parts: ["Q3"]}`, turned into a line of the notation. */

import type { MeterMode } from '../../circuit/reading.ts';
import { printScaled } from '../../job/decimal.ts';
import { SIGN_OFFS, SKIPPABLE, TICK_ITEMS } from '../../job/say.ts';
import { FINDINGS } from '../../job/scan.ts';
import type { JsonObject } from './rpc.ts';
import {
  choice,
  either,
  type Fields,
  flag,
  list,
  name,
  number,
  object,
  type Schema,
  whole,
} from './schema/words.ts';

/** Modes a reading may be said in. */
export const MODES: readonly MeterMode[] = [
  'continuity',
  'ohms',
  'low-voltage',
  'diode',
  'four-wire',
  'millivolts',
];

/** Words in one line, without control characters. */
export function line(description: string): Schema {
  return {
    type: 'string',
    pattern: '^[^\\p{Cc}]*[^\\p{Cc}\\s][^\\p{Cc}]*$',
    maxLength: 10_000,
    description,
  };
}

export const POINTS: Schema = list(
  name('a net or a pin'),
  'red and black point: nets (P48) or pins (Q1.D)',
  2,
  2,
);

interface Form {
  readonly fields: Fields;
  /** The words after the verb; the fields have passed their schema. */
  readonly words?: (said: JsonObject) => readonly unknown[];
  /** The whole line, where the verb does not begin it. */
  readonly line?: (said: JsonObject) => string;
}

const PARTS = list(name('a part'), 'parts', 1);
const PINS = list(name('a pin, or a part for its usual legs'), 'pins', 1);
const TWO_NETS = list(name('a net'), 'two nets', 2, 2);
const TEXT = line('words');
const INSTEAD = flag('the board file is wrong there: this holds in place of what it says');
const END = either(
  'a net or a pin of the board, or a net that it does not know',
  name('a net or a pin'),
  object({ new: name('a net that the board does not know') }),
);

const FORMS: Readonly<Record<string, Form>> = {
  read: {
    fields: {
      points: POINTS,
      mode: choice('mode of the meter', ...MODES),
      value: either(
        'what the meter showed: beep, quiet or OL, or a number in Ω or V',
        choice('a word', 'beep', 'quiet', 'OL'),
        number('Ω, or V in diode test and millivolts'),
      ),
      'off?': name('the part, when it is read off the board on its own legs'),
    },
    line: readingLine,
  },
  joins: {
    fields: {
      part: name('a jumper'),
      ends: list(END, 'the two nets it joins', 2, 2),
      'instead?': INSTEAD,
    },
    line: ({ part, ends, instead }) => {
      const [from, to] = (ends as readonly unknown[]).map(endWords);
      return wordsOf([part, 'joins', from, 'and', to, insteadWord(instead)]);
    },
  },
  goes: {
    fields: { pin: name('a pin: D7.K'), to: END, 'instead?': INSTEAD },
    line: ({ pin, to, instead }) => wordsOf([pin, 'goes to', endWords(to), insteadWord(instead)]),
  },
  is: {
    fields: {
      part: name('a part, new or known'),
      what: line('a kind, values or both: a diode 100 V; 470 uF 63 V'),
      'instead?': INSTEAD,
    },
    line: ({ part, what, instead }) => wordsOf([part, 'is', what, insteadWord(instead)]),
  },
  lift: { fields: { pins: PINS }, words: ({ pins }) => [pins] },
  remove: { fields: { parts: PARTS }, words: ({ parts }) => [parts] },
  refit: { fields: { parts: PARTS }, words: ({ parts }) => [parts] },
  replace: { fields: { parts: PARTS }, words: ({ parts }) => [parts] },
  reflow: { fields: { pins: PINS }, words: ({ pins }) => [pins] },
  clean: { fields: { nets: TWO_NETS }, words: ({ nets }) => [nets] },
  mend: { fields: { net: name('a net') }, words: ({ net }) => [net] },
  link: { fields: { nets: TWO_NETS }, words: ({ nets }) => [nets] },
  look: {
    fields: {
      at: list(name('a part or a pin, or two nets'), 'what was looked at', 1, 2),
      finding: choice('what was found', ...FINDINGS),
    },
    words: ({ at, finding }) => [at, finding],
  },
  inject: {
    fields: { points: POINTS, amps: number('current, A', 0) },
    words: ({ points, amps }) => [points, amount(amps), 'A'],
  },
  'inject off': { fields: {}, words: () => [] },
  undo: { fields: { 'count?': whole('events to take back', 1) }, words: ({ count }) => [count] },
  redo: {
    fields: { 'count?': whole('events to bring back', 1) },
    words: ({ count }) => [count],
  },
  pass: {
    fields: {
      step: line('the step in the words of its line: `P48 GND`, `lift W2`'),
      text: line('why'),
    },
    words: ({ step, text }) => [step, 'because', text],
  },
  unreachable: {
    fields: { at: name('a pin, part or net'), 'text?': TEXT },
    words: ({ at, text }) => [at, text],
  },
  reachable: { fields: { at: name('a pin, part or net') }, words: ({ at }) => [at] },
  note: { fields: { text: TEXT }, words: ({ text }) => [text] },
  customer: { fields: { text: TEXT }, words: ({ text }) => [text] },
  arrived: { fields: { text: TEXT }, words: ({ text }) => [text] },
  marking: { fields: { text: TEXT }, words: ({ text }) => [text] },
  technician: { fields: { text: TEXT }, words: ({ text }) => [text] },
  photo: {
    fields: {
      file: line('path from the job file'),
      'at?': name('part or pin shown'),
      'text?': TEXT,
    },
    words: ({ file, at, text }) => [quoted(String(file)), at, text],
  },
  residual: {
    fields: { points: POINTS, volts: number('V left between them') },
    words: ({ points, volts }) => [points, amount(volts), 'V'],
  },
  powered: {
    fields: { points: POINTS, volts: number('V, with power on') },
    words: ({ points, volts }) => [points, amount(volts), 'V'],
  },
  isolation: {
    fields: {
      part: name('a part'),
      value: either('OL, or a number in Ω', choice('a word', 'OL'), number('Ω', 0)),
    },
    words: ({ part, value }) => [part, shown('ohms', value)],
  },
  tick: {
    fields: { parts: PARTS, item: choice('what was done', ...TICK_ITEMS) },
    words: ({ parts, item }) => [parts, item],
  },
  draws: {
    fields: { rail: line('a rail'), amps: number('A') },
    words: ({ rail, amps }) => [rail, amount(amps), 'A'],
  },
  power: {
    fields: {
      stage: whole('stage of the power-up plan', 1),
      result: choice('how it went', 'passed', 'stopped'),
      'text?': TEXT,
    },
    words: ({ stage, result, text }) => [stage, result, text],
  },
  function: {
    fields: { result: choice('how it went', 'passed', 'failed'), text: TEXT },
    words: ({ result, text }) => [result, text],
  },
  soak: {
    fields: {
      what: choice('what of it', 'start', 'finding', 'passed', 'stopped'),
      'seconds?': whole('how long it is to run, s, with start', 1),
      'text?': TEXT,
    },
    words: ({ what, seconds, text }) => [
      what,
      seconds === undefined ? undefined : `${seconds} s`,
      text,
    ],
  },
  temp: {
    fields: { part: name('a part'), celsius: number('degrees Celsius') },
    words: ({ part, celsius }) => [part, amount(celsius), 'C'],
  },
  at: {
    fields: {
      at: name('a part or a pin'),
      x: number('mm'),
      y: number('mm'),
      'side?': choice('side of the board', 'top', 'bottom'),
    },
    words: ({ at, x, y, side }) => [at, amount(x), amount(y), side],
  },
  skip: {
    fields: { stage: choice('what is left out', ...SKIPPABLE), text: line('why') },
    words: ({ stage, text }) => [stage, text],
  },
  written: {
    fields: { digest: line('SHA-256 of the board file that holds what was seen, hex') },
    words: ({ digest }) => [digest],
  },
  'sign-off': {
    fields: { result: choice('how the job ends', ...SIGN_OFFS), 'text?': TEXT },
    words: ({ result, text }) => [result, text],
  },
};

/** The forms an object may have, for the published schema and the check alike. */
export const SAID_OBJECT: Schema = {
  description: 'an object that says what was done, by its "do"',
  anyOf: Object.entries(FORMS).map(([verb, { fields }]) =>
    object({ do: { const: verb }, ...fields }),
  ),
};

/** The line of the notation for an object that has passed {@link SAID_OBJECT}. */
export function lineOfObject(said: JsonObject): string {
  const verb = String(said.do);
  const form = FORMS[verb];
  return form?.line?.(said) ?? wordsOf([verb, ...(form?.words?.(said) ?? [])]);
}

function endWords(end: unknown): string {
  return typeof end === 'string' ? end : `new ${(end as JsonObject).new}`;
}

function insteadWord(instead: unknown): string | undefined {
  return instead === true ? 'instead' : undefined;
}

function readingLine({ points, mode, value, off }: JsonObject): string {
  const probe = off === undefined ? [points] : ['off', `${off}:`, points];
  return wordsOf([...probe, shown(mode as MeterMode, value)]);
}

/** What a meter showed, with its unit and mode; whether they fit each other the notation says. */
function shown(mode: MeterMode, value: unknown): string {
  if (typeof value !== 'number') return `${value} ${mode}`;
  const unit = mode === 'diode' || mode === 'millivolts' ? 'V' : 'ohm';
  return `${amount(value)} ${unit} ${mode}`;
}

function wordsOf(pieces: readonly unknown[]): string {
  return pieces
    .flat()
    .filter((piece) => piece !== undefined)
    .join(' ');
}

function amount(value: unknown): string {
  const figure = Number(value);
  return `${figure < 0 ? '-' : ''}${printScaled(Math.abs(figure), 0)}`;
}

function quoted(file: string): string {
  return /[\s"]/u.test(file) ? `"${file.replaceAll('"', '""')}"` : file;
}
