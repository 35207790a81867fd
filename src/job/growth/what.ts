import type { GrownValues } from '../../board/growth.ts';
import type { Kind } from '../../board/model.ts';
import { nearest } from '../../board/nearest.ts';
import { parseQuantity, type Unit } from '../../board/units.ts';
import type { Word } from '../words.ts';

/** What the words behind `is` say: a kind, values, or what is wrong with them. */
export type What = (Called & { readonly values: GrownValues }) | Misread;

interface Called {
  readonly kind?: string;
  /** What it is called where no kind fits. */
  readonly text?: string;
}

interface Misread {
  readonly fault: { readonly code: string; readonly message: string; readonly hint?: string };
}

type Key = keyof GrownValues;

const SIGNS: readonly (readonly [Key, Unit, RegExp])[] = [
  ['volts', 'volts', /^v/i],
  ['farads', 'farads', /^f/i],
  ['henries', 'henries', /^h/i],
  ['ohms', 'ohms', /^(?:Ω|Ω|ohm|r)/i],
];

/**
 * Reads `diode`, `electrolytic capacitor 470 uF 63 V`, `470u`; a value without a unit is in that of the kind.
 * What is called like no kind there is becomes an unknown part that keeps its name.
 * @param known the kind the part has so far
 */
export function readWhat(
  words: readonly Word[],
  kinds: ReadonlyMap<string, Kind>,
  known: Kind | undefined,
): What {
  const { phrase, amounts } = splitAmounts(words);
  const named: Called | Misread = phrase === '' ? {} : kindCalled(phrase, kinds);
  if ('fault' in named) return named;
  const kind = named.kind === undefined ? known : kinds.get(named.kind);
  const values: { [K in Key]?: number } = {};
  for (const text of amounts) {
    const read = readAmount(text, kind);
    if (read === undefined) return { fault: badAmount(text) };
    values[read.key] = read.value;
  }
  return { ...named, values };
}

/** Figures with the unit behind them, and all other words together. */
function splitAmounts(words: readonly Word[]): { phrase: string; amounts: string[] } {
  const rest: string[] = [];
  const amounts: string[] = [];
  for (let i = 0; i < words.length; i++) {
    const text = words[i]?.text ?? '';
    const next = words[i + 1]?.text ?? '';
    if (!/^[\d.]/.test(text) || parseQuantity(text) === undefined) {
      rest.push(text);
      continue;
    }
    const both = `${text} ${next}`;
    const isUnit = /^[a-zµμΩΩ]/i.test(next) && parseQuantity(both) !== undefined;
    amounts.push(isUnit ? both : text);
    if (isUnit) i += 1;
  }
  return { phrase: rest.join(' '), amounts };
}

function readAmount(text: string, kind: Kind | undefined): { key: Key; value: number } | undefined {
  const unit = text.replace(/^[\d.\s]+/, '').replace(/^(meg|Meg|MEG|[pPnNuUµμmkKMG])(?=.)/, '');
  const told = SIGNS.find(([, , sign]) => unit !== '' && sign.test(unit));
  const [key, as] = told ?? ownUnit(kind) ?? [];
  if (key === undefined || as === undefined) return undefined;
  const value = parseQuantity(text, as);
  return value === undefined || value <= 0 ? undefined : { key, value };
}

function ownUnit(kind: Kind | undefined): readonly [Key, Unit] | undefined {
  return kind === undefined || kind.value === 'none' ? undefined : [kind.value, kind.value];
}

function badAmount(text: string): { code: string; message: string; hint: string } {
  const message = `"${text}" is not a value that tells its unit`;
  return { code: 'BAD_VALUE', message, hint: 'e.g. 470 uF, 63 V, 4.7 kohm, 10 uH' };
}

function kindCalled(phrase: string, kinds: ReadonlyMap<string, Kind>): Called | Misread {
  const plain = phrase.toLowerCase();
  const [, , text] = /^(unknown)(?: part)?(?: (.+))?$/i.exec(phrase) ?? [];
  if (/^unknown\b/i.test(phrase))
    return { kind: 'unknown', ...(text === undefined ? {} : { text }) };
  const all = [...kinds.values()];
  const same = all.find(({ name, title }) => name === plain || title.toLowerCase() === plain);
  if (same !== undefined) return { kind: same.name };
  const ends = all.filter(({ title }) => title.toLowerCase().endsWith(` ${plain}`));
  const [only] = ends;
  if (only !== undefined && ends.length === 1) return { kind: only.name };
  if (ends.length > 1) {
    const message = `"${phrase}" could be ${ends.map(({ title }) => title).join(', ')}`;
    const hint = `say which: ${ends.map(({ name }) => name).join(', ')}; or unknown`;
    return { fault: { code: 'WHICH_KIND', message, hint } };
  }
  const near = nearest(
    plain,
    all.flatMap(({ name, title }) => [name, title.toLowerCase()]),
  );
  if (near === undefined) return { kind: 'unknown', text: phrase };
  const message = `there is no kind of part called "${phrase}"`;
  const hint = `did you mean "${near}"? else say: is an unknown ${phrase}`;
  return { fault: { code: 'UNKNOWN_KIND', message, hint } };
}
