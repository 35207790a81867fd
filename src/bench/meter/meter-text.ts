/** What a meter writes, as text of unknown origin: a figure, an overload in any of its spellings, an error. */

/** One line of a meter. */
export type MeterText =
  /** `unit` is missing where the line names none; Ω or V, prefixes worked in. */
  | { readonly kind: 'figure'; readonly number: number; readonly unit?: 'ohms' | 'volts' }
  /** Beyond the range: open probes, too much resistance, or a junction that takes more volts. */
  | { readonly kind: 'over' }
  /** Beyond the range below zero: a voltage stands on the points. */
  | { readonly kind: 'under' }
  | { readonly kind: 'noise' };

/** An entry of a meter's error queue. */
export interface MeterError {
  /** 0: none; −1xx command, −2xx execution, −3xx device, −4xx query (SCPI-99, volume 2, chapter 21). */
  readonly code: number;
  readonly text: string;
}

/** SCPI-99 7.2.1.4 and 7.2.1.5: ±9.9E37 stands for infinity, 9.91E37 for no number. */
const INFINITY_FROM = 9.9e37;
const NOT_A_NUMBER = 9.91e37;

const OVER =
  /^(?:-{3,}|([+-]?)\s*(?:\.?[o0]\.?l\.?d?|ov(?:er|r)?(?:ld|l|load|range|rng|flow)?|open|inf(?:inity)?))(?:\s*[a-zµμΩω\u2126 ]{1,8})?$/iu;
const FIGURE = /^([+-]?)\s*(\d+\.?\d*|\.\d+)(?:e([+-]?\d{1,3}))?\s*(?:,\s*)?([a-zµμΩω\u2126 ]*)$/iu;
const LABELLED = /^[a-zΩω\u2126]{1,8}\s*[:= ]\s*(?=[+-]?[.\d])(.*)$/iu;
const ERROR = /^([+-]?\d{1,6})\s*,\s*"?([^"]*[a-z][^"]*)"?$/iu;

/** Reads one line of a meter; whatever it cannot make out is `noise`. */
export function readMeterText(line: string): MeterText {
  const text = line.trim();
  const over = OVER.exec(text);
  if (over !== null) return { kind: over[1] === '-' ? 'under' : 'over' };
  const [, labelled = text] = LABELLED.exec(text) ?? [];
  const match = FIGURE.exec(labelled);
  if (match === null) return { kind: 'noise' };
  const [, sign = '', digits = '', exponent = '0', words = ''] = match;
  const scale = scaleOf(words.replace(/\s+/g, ''));
  if (scale === undefined) return { kind: 'noise' };
  const plain = Number(`${sign}${digits}e${exponent}`);
  const size = Math.abs(plain);
  if (size === NOT_A_NUMBER || Number.isNaN(plain)) return { kind: 'noise' };
  if (size >= INFINITY_FROM) return { kind: plain < 0 ? 'under' : 'over' };
  const number = plain * scale.factor;
  return scale.unit === undefined
    ? { kind: 'figure', number }
    : { kind: 'figure', number, unit: scale.unit };
}

/**
 * Reads the answer to `SYST:ERR?`; undefined when the line is no such answer. A bare number is none:
 * it might be a reading that came late.
 */
export function readMeterError(line: string): MeterError | undefined {
  const [, code, text] = ERROR.exec(line.trim()) ?? [];
  if (code === undefined || text === undefined) return undefined;
  return { code: Number(code), text };
}

interface Scale {
  readonly factor: number;
  readonly unit?: 'ohms' | 'volts';
}

/** `kOhm`, `V DC`, `MOHM`. Where a meter writes in capitals only, M is mega of ohms and milli of volts. */
function scaleOf(words: string): Scale | undefined {
  const plain = words.replace(/[Ωω\u2126]/gu, 'ohm').replace(/(?<=v)(?:dc|ac)$/iu, '');
  const [, prefix = '', base = ''] = /^([uµμmkMKG]?)(ohms?|v|volts?)?$/iu.exec(plain) ?? [];
  if (prefix + base !== plain) return undefined;
  const unit = base === '' ? undefined : /^v/iu.test(base) ? 'volts' : 'ohms';
  const factor = factorOf(prefix, unit);
  if (factor === undefined) return undefined;
  return unit === undefined ? { factor } : { factor, unit };
}

function factorOf(prefix: string, unit: Scale['unit']): number | undefined {
  switch (prefix) {
    case '':
      return 1;
    case 'u':
    case 'U':
    case 'µ':
    case 'μ':
      return 1e-6;
    case 'm':
      // A lone m could be of anything.
      return unit === undefined ? undefined : 1e-3;
    case 'M':
      return unit === 'volts' ? 1e-3 : 1e6;
    case 'k':
    case 'K':
      return 1e3;
    case 'G':
    case 'g':
      return 1e9;
    default:
      return undefined;
  }
}
