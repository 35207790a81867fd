/** Copper as people write it: its weight in ounces or as a thickness, widths in mm or mils. */

/** What a text measures: copper weight comes out in oz/ft², a length in mm. */
export type Measure = 'weight' | 'length';

/** Each unit as a power of ten and a divisor, so that 105 um is 3 oz and not 2.9999…; 1 oz is 35 µm. */
const UNITS: Readonly<Record<Measure, ReadonlyMap<string, readonly [number, number]>>> = {
  weight: new Map([
    ['oz', [0, 1]],
    ['um', [0, 35]],
    ['µm', [0, 35]],
    ['μm', [0, 35]],
    ['mm', [3, 35]],
  ]),
  length: new Map([
    ['mm', [0, 1]],
    ['um', [-3, 1]],
    ['µm', [-3, 1]],
    ['μm', [-3, 1]],
    ['mil', [0, 1000 / 25.4]],
    ['in', [0, 1 / 25.4]],
  ]),
};

/** Regular expression source that matches exactly the texts {@link parseMeasure} takes. */
export function measurePattern(measure: Measure): string {
  return `^(?=.*[1-9])(\\d+\\.?\\d*|\\.\\d+) *(${[...UNITS[measure].keys()].join('|')})$`;
}

const PATTERNS: Readonly<Record<Measure, RegExp>> = {
  weight: new RegExp(measurePattern('weight')),
  length: new RegExp(measurePattern('length')),
};

/** `1 oz` → 1, `35 um` → 1, `2 mm` → 2, `80 mil` → 2.032; undefined for anything else, and for none. */
export function parseMeasure(text: string, measure: Measure): number | undefined {
  const [, digits = '', unit = ''] = PATTERNS[measure].exec(text.trim()) ?? [];
  const [power, divisor] = UNITS[measure].get(unit) ?? [];
  if (power === undefined || divisor === undefined) return undefined;
  const value = Number(`${digits}e${power}`) / divisor;
  return Number.isFinite(value) && value > 0 ? value : undefined;
}
