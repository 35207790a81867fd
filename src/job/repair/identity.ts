/** What a part is called when it is ordered. */
import type { Part } from '../../board/model.ts';
import { formatQuantity, formatVolts, parseQuantity } from '../../board/units.ts';

/** One thing to order, as far as the board file tells. */
export interface Identity {
  /** Equal for parts that one order line covers. */
  readonly key: string;
  readonly partNumber?: string;
  /** `electrolytic capacitor`. */
  readonly title: string;
  /** `1000 µF, 80 V`; empty when the kind carries no value and none is given. */
  readonly value: string;
  readonly package?: string;
  /** What the board file's `text` says, e.g. `X2`. */
  readonly text?: string;
  /** What the board file does not tell and an order needs; empty when it tells enough. */
  readonly missing: readonly ('part number' | 'value' | 'package')[];
}

const UNITS = { ohms: 'Ω', farads: 'F', henries: 'H' } as const;

const MADE_UP = /value unknown/i;

/** How a part is ordered: by its part number where the board file has one, else by what it is. */
export function identityOf(part: Part): Identity {
  const { kind, partNumber } = part;
  const text = saysValueOnly(part) ? undefined : part.text;
  const value = valueText(part);
  const pack = part.package;
  const facts = [kind.name, value, pack ?? '', text ?? ''].join('|');
  return {
    key: partNumber === undefined ? `as ${facts}` : `no ${partNumber}|${pack ?? ''}`,
    ...(partNumber === undefined ? {} : { partNumber }),
    title: kind.title,
    value,
    ...(pack === undefined ? {} : { package: pack }),
    ...(text === undefined ? {} : { text }),
    missing: missingOf(part, value),
  };
}

/** Whether the board file tells the part from others in the same package. */
export function isIdentified(part: Part): boolean {
  return !identityOf(part).missing.includes('value') || part.text !== undefined;
}

function valueText(part: Part): string {
  const { kind, volts, toleranceRatio } = part;
  const main = kind.value === 'none' || isMadeUp(part) ? undefined : part[kind.value];
  const unit = kind.value === 'none' ? '' : UNITS[kind.value];
  const facts = [
    ...(main === undefined ? [] : [orderText(main, unit)]),
    ...(kind.value === 'henries' && part.ohms !== undefined
      ? [`${formatQuantity(part.ohms, 'Ω')} winding`]
      : []),
    ...(toleranceRatio === undefined ? [] : [`${Number((toleranceRatio * 100).toPrecision(3))} %`]),
    ...(volts === undefined ? [] : [formatVolts(volts)]),
  ];
  return facts.join(', ');
}

/** Whether what is printed on a part is its value once more: `22u,100V` on 22 µF, 100 V. */
function saysValueOnly(part: Part): boolean {
  const value = part.kind.value === 'none' ? undefined : part[part.kind.value];
  if (part.text === undefined || value === undefined || isMadeUp(part)) return false;
  const printed = parseQuantity(part.text.split(/[\s,;/]+/)[0] ?? '');
  return printed !== undefined && Math.abs(printed - value) <= value * 0.01;
}

/** As makers print it: `1000 µF` and `0.5 mΩ`, where the usual prefix would give 1 mF and 500 µΩ. */
function orderText(value: number, unit: string): string {
  const round = (figure: number): number => Number(figure.toPrecision(3));
  if (unit === 'F' && value >= 1e-3 && value < 0.1) return `${round(value * 1e6)} µF`;
  if (unit === 'Ω' && value > 0 && value < 1e-3) return `${round(value * 1e3)} mΩ`;
  return formatQuantity(value, unit);
}

/** Whether a part's value is none it was given, but one taken so that it could be weighed. */
export function isMadeUp({ guesses }: Part): boolean {
  return guesses.some((guess) => MADE_UP.test(guess));
}

function missingOf(part: Part, value: string): Identity['missing'] {
  const missing: ('part number' | 'value' | 'package')[] = [];
  if (part.partNumber !== undefined) return part.package === undefined ? ['package'] : [];
  const hasValue = part.kind.value !== 'none';
  if (!hasValue) missing.push('part number');
  if (hasValue && (value === '' || isMadeUp(part)) && part.text === undefined)
    missing.push('value');
  if (part.package === undefined) missing.push('package');
  return missing;
}
