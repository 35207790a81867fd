/** What may stand next in a line of the notation. */
import { LINE_WORDS } from '../../board/names.ts';
import { SIGN_OFFS, SKIPPABLE, TICK_ITEMS } from '../../job/say.ts';
import type { BoardNames } from './board-names.ts';

/** Findings word by word: `looks sound` is two. */
const FINDING_HEADS = [
  'burnt',
  'cracked',
  'leaking',
  'reworked',
  'dirty',
  'missing',
  'wrong',
  'off',
  'warm',
  'looks',
];
const SECOND_WORDS: Readonly<Record<string, readonly string[]>> = {
  looks: ['sound'],
  wrong: ['part'],
  off: ['its'],
  its: ['pad'],
  holes: ['clear'],
};
const VALUES = ['beep', 'quiet', 'OL'];
const UNITS = ['ohm', 'kohm', 'Mohm', 'mohm', 'V', 'mV', 'uV'];
const MODES = ['continuity', 'ohms', 'diode', 'low-voltage', 'four-wire'];

/** Words by the words before them in the line; those that do not fit what is typed are still in it. */
export function nextInLine(before: readonly string[], names: BoardNames, typed: string): string[] {
  const [verb, ...rest] = before;
  if (verb === undefined) return [...points(names, typed), ...LINE_WORDS];
  const isVerb = LINE_WORDS.includes(verb.toLowerCase()) && !names.nets.includes(verb);
  return isVerb
    ? afterVerb(verb.toLowerCase(), rest, names, typed)
    : inReading(before, names, typed);
}

/** Nets, and pins once a part is named: a board has thousands of them. */
function points(names: BoardNames, typed: string): string[] {
  const named = typed.includes('.') ? pins(names, typed) : [...names.parts.keys()].map(dotted);
  return [...names.nets, ...named];
}

/** Pins of the part that is typed up to its dot. */
function pins({ parts }: BoardNames, typed: string): string[] {
  const [part = '', ...pin] = typed.split('.');
  return pin.length === 0 ? [] : (parts.get(part) ?? []).map((name) => `${part}.${name}`);
}

/** A part's name on the way to one of its pins. */
function dotted(part: string): string {
  return `${part}.`;
}

function inReading(before: readonly string[], names: BoardNames, typed: string): string[] {
  if (before.length === 1) return points(names, typed);
  return before.length === 2 ? VALUES : afterValue(before.at(-1) ?? '');
}

/** A unit belongs behind a figure, a mode behind a unit or `OL`. */
function afterValue(last: string): string[] {
  if (/^[+-]?[\d.,]+$/.test(last)) return UNITS;
  return last === 'beep' || last === 'quiet' || MODES.includes(last) ? [] : MODES;
}

type Next = (rest: readonly string[], names: BoardNames, typed: string) => readonly string[];

const parts: Next = (_rest, names) => [...names.parts.keys()];
const legs: Next = (_rest, names, typed) => [...names.parts.keys(), ...pins(names, typed)];
const places: Next = (rest, names, typed) => [...names.nets, ...legs(rest, names, typed)];

function firstOf(count: number, next: Next, then: readonly string[] = []): Next {
  return (rest, names, typed) => (rest.length < count ? next(rest, names, typed) : then);
}

function words(...offered: readonly string[]): Next {
  return ({ length }) => (length === 0 ? offered : []);
}

const nets: Next = (_rest, names) => names.nets;
const pointNext: Next = (_rest, names, typed) => points(names, typed);

const AFTER: Readonly<Record<string, Next>> = {
  off: (rest, names) => {
    const [part] = rest;
    if (part === undefined) return [...names.parts.keys()].map((name) => `${name}:`);
    if (rest.length <= 2) return names.parts.get(part.replace(/:$/, '')) ?? [];
    return rest.length === 3 ? VALUES : afterValue(rest.at(-1) ?? '');
  },
  lift: legs,
  reflow: legs,
  remove: parts,
  refit: parts,
  replace: parts,
  clean: firstOf(2, nets),
  link: firstOf(2, nets),
  mend: firstOf(1, nets),
  look: (rest, names, typed) => {
    if (rest.length === 0) return places(rest, names, typed);
    const findings = rest.length === 1 ? FINDING_HEADS : [];
    const second = rest.length === 1 && names.nets.includes(rest[0] ?? '') ? names.nets : [];
    const last = rest.at(-1) ?? '';
    const isAfterNets = rest.length === 2 && names.nets.includes(last);
    return [...second, ...findings, ...(isAfterNets ? ['looks'] : (SECOND_WORDS[last] ?? []))];
  },
  inject: (rest, names, typed) =>
    rest.length < 2 && rest[0] !== 'off'
      ? [...points(names, typed), ...(rest.length === 0 ? ['off'] : [])]
      : [],
  residual: firstOf(2, pointNext),
  powered: firstOf(2, pointNext),
  isolation: firstOf(1, parts, ['OL']),
  temp: firstOf(1, parts),
  at: firstOf(1, legs),
  photo: (rest, names, typed) => (rest.length === 1 ? legs(rest, names, typed) : []),
  tick: (rest, names) => {
    const items = TICK_ITEMS.map((item) => item.split(' ')[0] ?? item);
    const second = SECOND_WORDS[rest.at(-1) ?? ''];
    return second ?? [...names.parts.keys(), ...(rest.length > 0 ? items : [])];
  },
  draws: firstOf(1, (_rest, names) => names.rails),
  power: ({ length }) => (length === 1 ? ['passed', 'stopped'] : []),
  function: words('passed', 'failed'),
  soak: words('start', 'finding', 'passed', 'stopped'),
  skip: words(...SKIPPABLE),
  'sign-off': words(...SIGN_OFFS),
  unreachable: firstOf(1, places),
  reachable: firstOf(1, places),
  pass: (rest, names, typed) => {
    const steps = ['lift', 'remove', 'refit', 'replace', 'reflow', 'look', 'off'];
    if (rest.length === 0) return [...points(names, typed), ...steps];
    const [step = ''] = rest;
    const isStep = steps.includes(step);
    if (rest.length === 1) return isStep ? legs(rest, names, typed) : points(names, typed);
    return isStep ? [...legs(rest, names, typed), 'because'] : ['because'];
  },
};

/** Words of a verb that is not listed here are the writer's own. */
function afterVerb(
  verb: string,
  rest: readonly string[],
  names: BoardNames,
  typed: string,
): string[] {
  const next = Object.hasOwn(AFTER, verb) ? AFTER[verb] : undefined;
  return next === undefined ? [] : [...next(rest, names, typed)];
}
