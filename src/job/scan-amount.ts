/** Amounts at the end of a line of the notation: volts, amps, degrees. */
import { parseScaled } from './decimal.ts';
import { type Line, refuse, type Word } from './words.ts';

/** What is read: the line, its first word, and the words after it. */
export interface Said {
  readonly line: Line;
  readonly verb: Word;
  readonly words: readonly Word[];
}

/** Throws one error about the whole line. */
export function miss(
  { line, verb, words }: Said,
  code: string,
  message: string,
  hint: string,
): never {
  refuse(line, [verb, ...words], { code, message, hint });
}

/** A number with a unit at the end of a line, in one word or two: the number times its scale. */
export function scanAmount(
  said: Said,
  from: number,
  units: ReadonlyMap<string, number>,
  example: string,
): number {
  const words = said.words.slice(from);
  const text = words.map((word) => word.text).join(' ');
  const [, digits = '', unit = ''] = /^([+-]?[\d.,]+(?:e[+-]?\d+)?)\s*(\S*)$/iu.exec(text) ?? [];
  const places = units.get(unit) ?? units.get(unit.toLowerCase());
  const amount = places === undefined ? undefined : parseScaled(digits.replace(',', '.'), places);
  if (amount !== undefined && !/,\d{3}$/u.test(digits)) return amount === 0 ? 0 : amount;
  const message = text === '' ? 'the value is missing' : `"${text}" is not a value here`;
  refuse(said.line, words.length > 0 ? words : [said.verb], {
    code: 'BAD_VALUE',
    message,
    hint: `e.g. ${example}`,
  });
}

export const VOLTS: ReadonlyMap<string, number> = new Map([
  ['', 0],
  ['v', 0],
  ['volt', 0],
  ['volts', 0],
  ['mV', -3],
  ['kV', 3],
]);

export const AMPS: ReadonlyMap<string, number> = new Map([
  ['a', 0],
  ['amp', 0],
  ['amps', 0],
  ['mA', -3],
  ['uA', -6],
  ['µA', -6],
]);

export const CELSIUS: ReadonlyMap<string, number> = new Map([
  ['', 0],
  ['c', 0],
  ['°c', 0],
]);
