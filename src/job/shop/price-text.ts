/** Sums of money as price lists write them: `1.234,56 €`, `$0.45`, `1'200.00 CHF`, `12,-`. */

/** The mark that parts whole units from hundredths. */
export type DecimalMark = '.' | ',';

/** A price as a list has it. */
export interface PriceText {
  readonly price: number;
  /** Code of the currency, where the text names one. */
  readonly currency?: string;
  /** True when the one mark in it could as well part thousands: `1,234`. */
  readonly ambiguous: boolean;
}

const SIGNS: readonly (readonly [RegExp, string])[] = [
  [/€|\bEURO?S?\b/i, 'EUR'],
  [/£|\bGBP\b/i, 'GBP'],
  [/¥|\b(?:JPY|CNY|RMB)\b/i, 'JPY'],
  [/₹|\b(?:INR|Rs)\b/i, 'INR'],
  [/\bCHF\b|\bSFr\b/i, 'CHF'],
  [/\$|\bUSD\b/i, 'USD'],
];

/** Code of the currency that a text names; undefined for none. */
export function currencyIn(text: string): string | undefined {
  const sign = SIGNS.find(([pattern]) => pattern.test(text))?.[1];
  return sign ?? /\b([A-Z]{3})\b/.exec(text)?.[1];
}

/** Figures with their marks; the blanks are those that part thousands. */
const FIGURES = /\d[\d.,'’ \u00a0\u2009\u202f]*/u;

/**
 * The price in a text; undefined where there is none: no figure, more than one, less than nothing.
 * @param usual the decimal mark of the list, for texts that could be read either way
 */
export function parsePrice(text: string, usual: DecimalMark = '.'): PriceText | undefined {
  const found = FIGURES.exec(text);
  if (found === null || text.length > 60) return undefined;
  const before = text.slice(0, found.index);
  const after = text.slice(found.index + found[0].length);
  if (/\d/.test(after) || /[-−(]\s*\D?\s*$/.test(before) || /^\s*%/.test(after)) return undefined;
  const figures = found[0].replace(/[.,'’\s]+$/u, '');
  const mark = decimalMark(figures, usual);
  const digits = [...figures].filter((c) => /\d/.test(c) || c === mark).join('');
  const price = Number(digits.replace(',', '.'));
  if (!Number.isFinite(price)) return undefined;
  const currency = currencyIn(before) ?? currencyIn(after);
  const ambiguous = isAmbiguous(figures);
  return currency === undefined ? { price, ambiguous } : { price, currency, ambiguous };
}

/** The decimal mark that a text shows beyond doubt; undefined where it shows none. */
export function shownMark(text: string): DecimalMark | undefined {
  const figures = FIGURES.exec(text)?.[0].replace(/[.,'’\s]+$/u, '') ?? '';
  if (isAmbiguous(figures)) return undefined;
  const mark = decimalMark(figures, '.');
  return mark;
}

/** One mark with three figures after it, and not nought before it: hundredths or thousands. */
function isAmbiguous(figures: string): boolean {
  return /^[1-9]\d{0,2}[.,]\d{3}$/.test(figures);
}

function decimalMark(figures: string, usual: DecimalMark): DecimalMark | undefined {
  const last = Math.max(figures.lastIndexOf('.'), figures.lastIndexOf(','));
  if (last < 0) return undefined;
  const mark = figures[last] as DecimalMark;
  const other = mark === '.' ? ',' : '.';
  const count = figures.split(mark).length - 1;
  // A mark that stands twice parts thousands, whatever else there is.
  if (count > 1) return figures.split(other).length === 2 ? other : undefined;
  if (figures.includes(other)) return mark;
  if (isAmbiguous(figures)) return mark === usual ? mark : undefined;
  return mark;
}
