/** Quantities as people write them: SI suffixes, RKM code, and the way back to text. */

/** What a quantity measures; `any` takes every unit word. */
export type Unit = 'ohms' | 'farads' | 'henries' | 'volts' | 'amps' | 'any';

const SCALE: ReadonlyMap<string, number> = new Map([
  ['p', -12],
  ['P', -12],
  ['n', -9],
  ['N', -9],
  ['u', -6],
  ['U', -6],
  ['µ', -6],
  ['μ', -6],
  ['m', -3],
  ['', 0],
  ['R', 0],
  ['r', 0],
  ['k', 3],
  ['K', 3],
  ['M', 6],
  ['meg', 6],
  ['Meg', 6],
  ['MEG', 6],
  ['G', 9],
]);

/** Unit words of each quantity, as a regular expression; also the letter that may stand for the point. */
const WORDS: Readonly<Record<Unit, { readonly words: string; readonly point: string }>> = {
  ohms: { words: 'Ω|Ω|[oO][hH][mM][sS]?|R|r', point: 'R|r' },
  farads: { words: 'F|farads?', point: 'F' },
  henries: { words: 'H|henry|henries', point: 'H' },
  volts: { words: 'V|v|[vV]olts?|V ?DC|V ?AC', point: 'V|v' },
  amps: { words: 'A|[aA]mps?', point: 'A' },
  any: {
    words: 'Ω|Ω|[oO][hH][mM][sS]?|R|r|F|farads?|H|henry|henries|V|v|[vV]olts?|V ?DC|V ?AC',
    point: 'R|r|F|H|V|v',
  },
};

const SUFFIX = 'meg|Meg|MEG|[pPnNuUµμmkKMG]';

/** Plain numbers; the same ones YAML reads as numbers. */
const PLAIN = '\\+?(?:\\d+\\.?\\d*|\\.\\d+)';

/** Regular expression source that matches exactly the texts {@link parseQuantity} takes. */
export function quantityPattern(unit: Unit): string {
  const { words, point } = WORDS[unit];
  const exponent = `${PLAIN}(?:[eE][+-]?\\d+)?`;
  const suffixed = `${PLAIN} *(?:${SUFFIX})? *(?:${words})?`;
  const rkm = `\\d*(?:${SUFFIX}|${point})\\d+ *(?:${words})?`;
  return `^(?:${exponent}|${suffixed}|${rkm})$`;
}

const PATTERNS: Readonly<Record<Unit, readonly RegExp[]>> = {
  ohms: compile('ohms'),
  farads: compile('farads'),
  henries: compile('henries'),
  volts: compile('volts'),
  amps: compile('amps'),
  any: compile('any'),
};

function compile(unit: Unit): readonly RegExp[] {
  const { words, point } = WORDS[unit];
  return [
    new RegExp(`^(${PLAIN}(?:[eE][+-]?\\d+)?)$`),
    new RegExp(`^(${PLAIN}) *(${SUFFIX})? *(?:${words})?$`),
    new RegExp(`^(\\d*)(${SUFFIX}|${point})(\\d+) *(?:${words})?$`),
  ];
}

/**
 * The number a text stands for in base units: `4k7` → 4700, `470u` → 470e-6, `R47` → 0.47,
 * `10 kohm` → 10 000. `m` is milli and `M` is mega. Undefined when it is no quantity, when it is
 * negative, or when its unit word is not one of `unit`.
 */
export function parseQuantity(text: string, unit: Unit = 'any'): number | undefined {
  const trimmed = text.trim();
  const [plain, suffixed, rkm] = PATTERNS[unit];
  let match = plain?.exec(trimmed);
  if (match) return finite(Number(match[1]));
  match = suffixed?.exec(trimmed);
  if (match) return scaled(match[1] ?? '', match[2] ?? '');
  match = rkm?.exec(trimmed);
  if (!match) return undefined;
  const [, whole, letter, fraction] = match;
  return scaled(`${whole || '0'}.${fraction}`, SCALE.has(letter ?? '') ? (letter ?? '') : '');
}

/** Reads `4.7` and `-3` as one decimal literal, so that 0.47 comes out as the nearest double. */
function scaled(digits: string, suffix: string): number | undefined {
  return finite(Number(`${digits}e${SCALE.get(suffix) ?? 0}`));
}

function finite(value: number): number | undefined {
  return Number.isFinite(value) ? value : undefined;
}

/** `1%`, `±5 %` → 0.01, 0.05; undefined for anything else. */
export function parsePercent(text: string): number | undefined {
  const match = new RegExp(PERCENT_PATTERN).exec(text.trim());
  return match ? finite(Number(`${match[1]}e-2`)) : undefined;
}

/** Regular expression source of the texts {@link parsePercent} takes. */
export const PERCENT_PATTERN = '^(?:±|\\+/-)? *(\\d+\\.?\\d*|\\.\\d+) *%$';

const PREFIXES: readonly (readonly [number, string])[] = [
  [-12, 'p'],
  [-9, 'n'],
  [-6, 'µ'],
  [-3, 'm'],
  [0, ''],
  [3, 'k'],
  [6, 'M'],
  [9, 'G'],
];

/**
 * A value for people, three significant digits and an SI prefix: `4.7 kΩ`, `12 mΩ`, `470 µF`.
 * Zero and values under a thousandth of the smallest prefix print as `0`.
 */
export function formatQuantity(value: number, unit: string): string {
  if (Number.isNaN(value)) return `? ${unit}`;
  if (!Number.isFinite(value)) return `${value < 0 ? '-' : ''}∞ ${unit}`;
  const size = Math.abs(value);
  if (size < 1e-15) return `0 ${unit}`;
  // Rounded in decimal before the prefix is chosen: 999.9 Ω is 1 kΩ, not 1000 Ω.
  const [digits = '0', power = '0'] = size.toExponential(2).split('e');
  const group = Math.min(9, Math.max(-12, Math.floor(Number(power) / 3) * 3));
  const prefix = PREFIXES.find(([exponent]) => exponent === group)?.[1] ?? '';
  const shown = Number(`${digits}e${Number(power) - group}`);
  return `${value < 0 ? '-' : ''}${shown} ${prefix}${unit}`;
}

export const formatOhms = (ohms: number): string => formatQuantity(ohms, 'Ω');
export const formatFarads = (farads: number): string => formatQuantity(farads, 'F');
export const formatVolts = (volts: number): string => formatQuantity(volts, 'V');
export const formatAmps = (amps: number): string => formatQuantity(amps, 'A');
export const formatWatts = (watts: number): string => formatQuantity(watts, 'W');
export const formatJoules = (joules: number): string => formatQuantity(joules, 'J');

/** Seconds for people: `850 ms`, `6.2 s`, `3 min 20 s`, `2 h 5 min`. */
export function formatSeconds(seconds: number): string {
  if (!(seconds >= 59.95)) return formatQuantity(seconds, 's');
  const whole = Math.round(seconds);
  if (whole < 3600) return joined(Math.floor(whole / 60), 'min', whole % 60, 's');
  const minutes = Math.round(seconds / 60);
  return joined(Math.floor(minutes / 60), 'h', minutes % 60, 'min');
}

function joined(big: number, bigUnit: string, small: number, smallUnit: string): string {
  return small === 0 ? `${big} ${bigUnit}` : `${big} ${bigUnit} ${small} ${smallUnit}`;
}
