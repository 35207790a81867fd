/** Meter values in the notation: `beep`, `0.4 ohm`, `0.52 V`, `12 mohm`, `OL diode`. */
import { InputError } from '../board/diagnostic.ts';
import type { MeterMode, ReadingValue } from '../circuit/reading.ts';
import { parseScaled, printScaled } from './decimal.ts';
import { type Line, lineOf, refuse, splitWords, type Word } from './words.ts';

/** What a meter showed, in which mode. */
export interface MeterValue {
  readonly mode: MeterMode;
  readonly value: ReadingValue;
}

interface Unit {
  readonly kind: 'ohms' | 'volts';
  /** Power of ten. */
  readonly places: number;
  readonly mode: MeterMode;
}

const MODE_WORDS: ReadonlyMap<string, MeterMode> = new Map([
  ['continuity', 'continuity'],
  ['ohms', 'ohms'],
  ['ohm', 'ohms'],
  ['diode', 'diode'],
  ['low-voltage', 'low-voltage'],
  ['four-wire', 'four-wire'],
  ['4-wire', 'four-wire'],
  ['millivolts', 'millivolts'],
]);

const VALUES_OF_MODE: Readonly<Record<MeterMode, readonly ReadingValue['kind'][]>> = {
  continuity: ['beep', 'quiet', 'over'],
  ohms: ['ohms', 'over'],
  diode: ['volts', 'over'],
  'low-voltage': ['ohms', 'over'],
  'four-wire': ['ohms', 'over'],
  millivolts: ['volts'],
};

const WORDS_OF_MODE: Readonly<Record<MeterMode, string>> = {
  continuity: 'beep, quiet or OL',
  ohms: 'ohm, kohm, Mohm or OL',
  diode: 'V, mV or OL',
  'low-voltage': 'ohm, kohm, Mohm or OL',
  'four-wire': 'mohm, ohm or OL',
  millivolts: 'mV, uV or V',
};

const OVER = /^(?:[o0]\.?l\.?|open)$/iu;
const NUMBER_HEAD = /^([+-]?(?:\d+[.,]?\d*|[.,]\d+)(?:e[+-]?\d+)?)(.*)$/iu;
const RKM = /^(\d+)([RrkKM])(\d+)$/u;
const EXAMPLES = 'beep, quiet, OL, 0.4 ohm, 12 mohm or 0.52 V';

/** What is known where a value is read. */
export interface ValueContext {
  /** Mode to take a bare number in: a prompt knows it, a file does not. */
  readonly assumed?: MeterMode | undefined;
  /** A current is injected: volts are read along the copper, and may be below zero. */
  readonly isInjecting?: boolean | undefined;
}

/** Whether a word can start a value: used to tell a value from a third point. */
export function startsValue(text: string): boolean {
  return /^(?:beep|quiet)$/iu.test(text) || OVER.test(text) || NUMBER_HEAD.test(text);
}

/** Whether some words are a whole value. */
export function isValue(line: Line, words: readonly Word[], known: ValueContext = {}): boolean {
  if (words[0] === undefined || !startsValue(words[0].text)) return false;
  try {
    scanValue(line, words, known);
    return true;
  } catch (error) {
    if (error instanceof InputError) return false;
    throw error;
  }
}

/**
 * Reads the words after the two points.
 * @throws {InputError} when they are no value
 */
export function scanValue(
  line: Line,
  words: readonly Word[],
  known: ValueContext = {},
): MeterValue {
  const [first] = words;
  if (first === undefined) {
    const message = 'the value is missing after the two points';
    refuse(line, [], {
      code: 'NO_VALUE',
      message,
      hint: `write what the meter showed: ${EXAMPLES}`,
    });
  }
  const last = words.at(-1);
  const named = words.length > 1 ? MODE_WORDS.get(last?.text.toLowerCase() ?? '') : undefined;
  // `0.4 ohm` and `1.8 millivolts` end in their unit, not in a mode.
  const isUnit =
    (named === 'ohms' || named === 'millivolts') && words.length === 2 && isBareNumber(first.text);
  const mode = isUnit ? undefined : named;
  const body = mode === undefined ? words : words.slice(0, -1);
  const found = scanBody(line, body, unitsOf(mode, known));
  if (mode === undefined) return found;
  return { mode: checkedMode(line, words, mode, found.value), value: found.value };
}

/** How a number is to be taken: the mode of a bare one, and what volts are. */
interface Units {
  readonly assumed: MeterMode | undefined;
  readonly volts: 'diode' | 'millivolts';
}

function unitsOf(mode: MeterMode | undefined, { assumed, isInjecting }: ValueContext): Units {
  const isAlongCopper = mode === undefined && (isInjecting || assumed === 'millivolts');
  return {
    // The modes in volts have one unit only; elsewhere a bare number stays unclear.
    assumed: mode === 'diode' || mode === 'millivolts' ? mode : assumed,
    volts: mode === 'millivolts' || isAlongCopper ? 'millivolts' : 'diode',
  };
}

function checkedMode(
  line: Line,
  words: readonly Word[],
  mode: MeterMode,
  value: ReadingValue,
): MeterMode {
  if (VALUES_OF_MODE[mode].includes(value.kind)) return mode;
  const said = words.map((word) => word.text).join(' ');
  refuse(line, words, {
    code: 'VALUE_MODE',
    message: `"${said}" does not fit the mode "${mode}"`,
    hint: `a ${mode} reading is ${WORDS_OF_MODE[mode]}`,
  });
}

function scanBody(line: Line, words: readonly Word[], units: Units): MeterValue {
  const [first, second, ...rest] = words;
  if (first === undefined) return scanValue(line, words);
  const word = first.text.toLowerCase();
  const isSingle = word === 'beep' || word === 'quiet' || OVER.test(word);
  const extra = isSingle && second !== undefined ? [second, ...rest] : rest;
  if (extra.length > 0) {
    const message = `"${extra.map((w) => w.text).join(' ')}" is more than a reading holds`;
    refuse(line, extra, { code: 'EXTRA_WORDS', message, hint: modeHint() });
  }
  if (word === 'beep' || word === 'quiet') return { mode: 'continuity', value: { kind: word } };
  if (isSingle) return { mode: units.assumed ?? 'ohms', value: { kind: 'over' } };
  return scanNumber(line, words, units);
}

function modeHint(): string {
  return 'after the value only a mode may follow: continuity, ohms, diode, four-wire or millivolts';
}

function scanNumber(line: Line, words: readonly Word[], units: Units): MeterValue {
  const said = words.map((word) => word.text).join(' ');
  const rkm = words.length === 1 ? RKM.exec(said) : null;
  const text = rkm === null ? said : `${rkm[1]}.${rkm[3]}${rkm[2]}`;
  const match = NUMBER_HEAD.exec(text);
  if (match === null) {
    const message = `"${said}" is not a value`;
    refuse(line, words, { code: 'BAD_VALUE', message, hint: `a value is ${EXAMPLES}` });
  }
  const [, digits = '', tail = ''] = match;
  const unit = tail.trim() === '' ? assumedUnit(units.assumed) : unitNamed(tail.trim());
  if (unit === undefined) refuseUnit(line, words, said, tail.trim());
  const mode = unit.mode === 'diode' ? units.volts : unit.mode;
  return numberValue(line, words, { said, digits, unit: { ...unit, mode } });
}

function numberValue(
  line: Line,
  words: readonly Word[],
  parts: { said: string; digits: string; unit: Unit },
): MeterValue {
  const { said, digits, unit } = parts;
  if (/,\d{3}$/u.test(digits)) {
    const message = `"${said}" may mean thousands or a decimal comma`;
    refuse(line, words, { code: 'BAD_VALUE', message, hint: 'write a point, or no mark at all' });
  }
  const number = parseScaled(digits.replace(',', '.'), unit.places);
  if (number === undefined) {
    refuse(line, words, { code: 'BAD_VALUE', message: `"${said}" is out of any meter's range` });
  }
  if (unit.mode === 'millivolts') {
    return { mode: unit.mode, value: { kind: 'volts', volts: number === 0 ? 0 : number } };
  }
  if (number < 0) {
    const message = `"${said}" is below zero, which no passive board reads`;
    const hint = 'discharge the board, zero the meter and read again';
    refuse(line, words, { code: 'BAD_VALUE', message, hint });
  }
  const kind = unit.kind;
  const value: ReadingValue =
    kind === 'ohms' ? { kind, ohms: Math.abs(number) } : { kind, volts: Math.abs(number) };
  return { mode: unit.mode, value };
}

function refuseUnit(line: Line, words: readonly Word[], said: string, unit: string): never {
  if (unit === '') {
    const message = `"${said}" has no unit`;
    const hint = `write ${said} ohm, ${said} mohm or ${said} V`;
    refuse(line, words, { code: 'NO_UNIT', message, hint });
  }
  const hint = 'units are ohm, kohm, Mohm, mohm (four-wire), V, mV and uV';
  refuse(line, words, { code: 'BAD_UNIT', message: `"${unit}" is not a unit of a reading`, hint });
}

function isBareNumber(text: string): boolean {
  return NUMBER_HEAD.exec(text)?.[2] === '';
}

function assumedUnit(mode: MeterMode | undefined): Unit | undefined {
  if (mode === 'diode') return { kind: 'volts', places: 0, mode };
  // A four-wire meter shows milliohms, and that is what is typed off it.
  if (mode === 'four-wire') return { kind: 'ohms', places: -3, mode };
  if (mode === 'millivolts') return { kind: 'volts', places: -3, mode };
  // A meter on its beeper shows ohms too.
  if (mode === undefined) return undefined;
  return { kind: 'ohms', places: 0, mode: 'ohms' };
}

/** Units by name. The letter's case tells milli from mega; the rest of the name may be in any case. */
function unitNamed(text: string): Unit | undefined {
  const plain = text.replace(/[Ωω\u2126]/gu, 'ohm').replace(/ohms$/iu, 'ohm');
  const [, prefix = '', base = ''] =
    /^(micro|milli|kilo|mega|[uµμmkKM]?)(ohm|volts?|v|r)?$/iu.exec(plain) ?? [];
  const places = scaleOf(prefix);
  if (places === undefined || (prefix === '' && base === '')) return undefined;
  if (/^v/iu.test(base)) {
    if (places > 0) return undefined;
    // No junction is read in microvolts.
    return { kind: 'volts', places, mode: places < -3 ? 'millivolts' : 'diode' };
  }
  if (places < -3) return undefined;
  // A lone `m` could be millivolts as well.
  if (base === '' && places < 0) return undefined;
  return { kind: 'ohms', places, mode: places < 0 ? 'four-wire' : 'ohms' };
}

function scaleOf(prefix: string): number | undefined {
  if (prefix === '') return 0;
  if (/^(?:[uµμ]|micro)$/iu.test(prefix)) return -6;
  if (prefix === 'm' || prefix.toLowerCase() === 'milli') return -3;
  if (prefix.toLowerCase() === 'k' || prefix.toLowerCase() === 'kilo') return 3;
  return prefix === 'M' || prefix.toLowerCase() === 'mega' ? 6 : undefined;
}

/** The value as the notation writes it, with its mode only where the value does not tell it. */
export function printValue({ mode, value }: MeterValue): string {
  switch (value.kind) {
    case 'beep':
    case 'quiet':
      return value.kind;
    case 'over':
      return mode === 'ohms' ? 'OL' : `OL ${mode}`;
    case 'volts':
      return mode === 'millivolts'
        ? `${value.volts < 0 ? '-' : ''}${printScaled(Math.abs(value.volts), 3)} mV`
        : `${printScaled(value.volts, 0)} V`;
    case 'ohms':
      if (mode === 'four-wire') return `${printScaled(value.ohms, 3)} mohm`;
      return `${printOhms(value.ohms)}${mode === 'low-voltage' ? ` ${mode}` : ''}`;
  }
}

function printOhms(ohms: number): string {
  if (ohms >= 1e6) return `${printScaled(ohms, -6)} Mohm`;
  if (ohms >= 1e3) return `${printScaled(ohms, -3)} kohm`;
  return `${printScaled(ohms, 0)} ohm`;
}

/**
 * Reads a value alone, as typed at a prompt that already knows what is being measured.
 * @param mode mode asked for; a bare number is taken in its unit (mΩ in four-wire, mV in
 *   millivolts)
 * @throws {InputError}
 */
export function parseValue(text: string, mode?: MeterMode): MeterValue {
  const line = lineOf(text);
  return scanValue(line, splitWords(text), { assumed: mode });
}
