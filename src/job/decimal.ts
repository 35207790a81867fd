/**
 * Decimal numbers with a scale, kept exact: `12 mohm` is read as `12e-3`, never as 12 / 1000, so
 * that what is printed reads back as the very same number.
 */

const PLAIN = /^([+-]?)(\d+\.?\d*|\.\d+)(?:e([+-]?\d{1,4}))?$/iu;

/** `text` times ten to the `places`; undefined when it is no finite decimal number. */
export function parseScaled(text: string, places: number): number | undefined {
  const match = PLAIN.exec(text);
  if (match === null) return undefined;
  const [, sign = '', digits = '', exponent = '0'] = match;
  const number = Number(`${sign}${digits}e${Number(exponent) + places}`);
  return Number.isFinite(number) ? number : undefined;
}

/** The shortest decimal text of `number` times ten to the `places`; `number` is not negative. */
export function printScaled(number: number, places: number): string {
  const [mantissa = '0', exponent = '0'] = number.toExponential().split('e');
  const digits = mantissa.replace('.', '');
  const point = 1 + Number(exponent) + places;
  if (number === 0) return '0';
  if (point > 15 || point < -8) return `${mantissa}e${Number(exponent) + places}`;
  if (point <= 0) return `0.${'0'.repeat(-point)}${digits}`;
  if (point >= digits.length) return digits.padEnd(point, '0');
  return `${digits.slice(0, point)}.${digits.slice(point)}`;
}
