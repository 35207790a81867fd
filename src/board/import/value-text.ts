import { parsePercent, parseQuantity, type Unit } from '../units.ts';

/** What a value text of a bill of materials holds: `100u 35V 20%`. */
export interface ValueText {
  /** Ω, F or H, as asked. */
  readonly value?: number;
  readonly volts?: number;
  readonly toleranceRatio?: number;
}

const UNIT_WORD: Readonly<Record<'ohms' | 'farads' | 'henries', string>> = {
  ohms: 'Ω|ohms?|R',
  farads: 'F',
  henries: 'H',
};

/** Reads the parts of a value text that are sure; the rest is left to the person. */
export function readValueText(text: string, unit: 'ohms' | 'farads' | 'henries'): ValueText {
  const found: { value?: number; volts?: number; toleranceRatio?: number } = {};
  for (const word of wordsOf(text)) {
    const percent = parsePercent(word);
    if (percent !== undefined) {
      if (percent > 0 && percent < 1) found.toleranceRatio ??= percent;
      continue;
    }
    const volts = voltsOf(word);
    if (volts !== undefined) found.volts ??= volts;
    else if (found.value === undefined) {
      const value = quantityOf(word, unit);
      if (value !== undefined && isPlausible(value)) found.value = value;
    }
  }
  return found;
}

/** No part has a value beyond these; a longer row of digits is an order number. */
function isPlausible(value: number): boolean {
  return value === 0 || (value >= 1e-15 && value <= 1e12);
}

/** Numbers and the units behind them, drawn together: `1 nF` → `1nF`; decimal commas to points. */
function wordsOf(text: string): string[] {
  const plain = text
    .replaceAll('μ', 'u')
    .replaceAll('µ', 'u')
    .replaceAll('Ω', 'Ω')
    .replace(/(\d)Ω(\d)/g, '$1R$2')
    .replace(/(\d),(\d)/g, '$1.$2')
    .replace(/(\d)\s+([pnumkMGµ]?(?:F|H|Ω|ohms?|V)\b)/gi, '$1$2')
    .replace(/(\d[kmM]?ohms?)(?=\d)/gi, '$1 ');
  return plain.split(/[\s,;/()|_@<>≥≤]+/).filter((word) => word !== '');
}

function voltsOf(word: string): number | undefined {
  const match = /^(\d+(?:\.\d+)?)(k?)V(?:DC|AC)?$/i.exec(word);
  if (!match) return undefined;
  const volts = Number(match[1]) * (match[2] === '' ? 1 : 1000);
  return volts > 0 && isPlausible(volts) ? volts : undefined;
}

function quantityOf(word: string, unit: 'ohms' | 'farads' | 'henries'): number | undefined {
  const tidy = word.replace(new RegExp(`(?<=[\\dpnumkMG])(?:${UNIT_WORD[unit]})$`, 'i'), '');
  if (unit === 'ohms') return parseQuantity(tidy, unit);
  const code = unit === 'farads' ? threeDigitCode(tidy) : undefined;
  if (code !== undefined) return code;
  // A bare number is no capacitance: 0.1 may mean µF, 220 may mean pF.
  const bare = /^[\d.]+$/.test(tidy);
  if (bare && tidy === word) return undefined;
  return positive(parseQuantity(tidy, unit satisfies Unit));
}

/** `104` on a capacitor: two digits and a power of ten, in pF. */
function threeDigitCode(word: string): number | undefined {
  const match = /^([1-9]\d)([1-7])$/.exec(word);
  return match ? Number(`${match[1]}e${Number(match[2]) - 12}`) : undefined;
}

function positive(value: number | undefined): number | undefined {
  return value !== undefined && value > 0 ? value : undefined;
}

/** A text the loader reads back as the same value: `390u`, `4.7`, `10k`. */
export function writeQuantity(value: number): string {
  if (value === 0) return '0';
  const exponent = Math.min(9, Math.max(-12, Math.floor(Math.log10(value) / 3 + 1e-9) * 3));
  const suffix = SUFFIXES[exponent / 3 + 4] ?? '';
  return `${Number((value / 10 ** exponent).toPrecision(6))}${suffix}`;
}

const SUFFIXES = ['p', 'n', 'u', 'm', '', 'k', 'M', 'G'];
