import type { Checked, CheckedEntry } from './checked.ts';
import * as complaints from './complaints.ts';
import type { Complaint, Findings } from './findings.ts';
import { isReserved } from './names.ts';
import type { Raw, RawEntry, RawList, RawMap, RawText } from './raw.ts';
import type { FieldsShape, ListShape, NamedShape, NumberShape, Shape, TextShape } from './shape.ts';
import { parsePercent, parseQuantity, type Unit } from './units.ts';

/**
 * Checks a piece of a document against its shape in one walk and gives it as plain data.
 * Everything wrong goes to `findings`; undefined when the piece itself does not fit.
 */
export function checkShape(raw: Raw, shape: Shape, findings: Findings): Checked | undefined {
  if (raw.is === 'refused') {
    findings.error(raw, complaints.aliasRefused(raw.text));
    return undefined;
  }
  switch (shape.is) {
    case 'fields':
      return raw.is === 'map' ? checkFields(raw, shape, findings) : misfit(raw, shape, findings);
    case 'named':
      return raw.is === 'map' ? checkNamed(raw, shape, findings) : misfit(raw, shape, findings);
    case 'list':
      return raw.is === 'list' ? checkList(raw, shape, findings) : misfit(raw, shape, findings);
    case 'either':
      return checkEither(raw, shape.options, shape, findings);
    default:
      return raw.is === 'text' ? checkScalar(raw, shape, findings) : misfit(raw, shape, findings);
  }
}

/** Something of the wrong sort, or nothing where something is asked for. */
function misfit(raw: Raw, shape: Shape, findings: Findings): undefined {
  findings.error(spotShown(raw), complaints.wrongType(sortOf(raw), sortAsked(shape)));
  return undefined;
}

/** A whole map or list would underline half the file: mark its beginning only. */
function spotShown(raw: Raw): { start: number; end: number } {
  if (raw.is === 'text') return raw;
  return { start: raw.start, end: Math.min(raw.end, raw.start + 1) };
}

function sortOf(raw: Raw): string {
  if (raw.is === 'map') return 'a map (key: value)';
  if (raw.is === 'list') return 'a list';
  if (raw.text === '' && 'plain' in raw && raw.plain) return 'nothing';
  return `"${raw.text.length > 60 ? `${raw.text.slice(0, 57)}…` : raw.text}"`;
}

function sortAsked(shape: Shape): string {
  switch (shape.is) {
    case 'fields':
      return `${shape.title} (key: value)`;
    case 'named':
      return 'a map (name: value)';
    case 'list':
      return 'a list [a, b]';
    case 'either':
      return shape.options.map(sortAsked).join(' or ');
    case 'text':
      return shape.asks ?? 'text';
    case 'choice':
      return shape.words.join(' or ');
    case 'flag':
      return 'true or false';
    case 'number':
      return 'a number';
    case 'quantity':
      return `a value in ${shape.unit}`;
    case 'percent':
      return 'a tolerance such as 1%';
  }
}

function checkFields(raw: RawMap, shape: FieldsShape, findings: Findings): Checked {
  const value = new Map<string, CheckedEntry>();
  for (const entry of raw.entries) {
    const key = keyOf(entry, value, findings);
    if (key === undefined) continue;
    const of = Object.hasOwn(shape.fields, key) ? shape.fields[key] : undefined;
    if (of === undefined) {
      const known = Object.keys(shape.fields);
      findings.error(entry.key, complaints.unknownKey(key, shape.title, known));
    } else {
      value.set(key, { key: entry.key, value: checkShape(entry.value, of, findings) });
    }
  }
  for (const key of shape.required) {
    if (value.has(key)) continue;
    findings.error(spotShown(raw), complaints.missingKey(key, shape.title, shape.fields[key]?.doc));
  }
  return { start: raw.start, end: raw.end, value };
}

function checkNamed(raw: RawMap, shape: NamedShape, findings: Findings): Checked {
  const value = new Map<string, CheckedEntry>();
  for (const entry of raw.entries) {
    const key = keyOf(entry, value, findings);
    if (key === undefined) continue;
    // A key is text whatever it looks like: `1:` and `true:` are names here.
    const fits = entry.key.is === 'text' && checkText(entry.key, shape.key, findings) !== undefined;
    const checked = checkShape(entry.value, shape.of, findings);
    if (fits) value.set(key, { key: entry.key, value: checked });
  }
  if (raw.entries.length < (shape.least ?? 0)) {
    findings.error(spotShown(raw), complaints.wrongLength(0, `at least ${shape.least}`));
  }
  return { start: raw.start, end: raw.end, value };
}

/** The text of a key that is new in its map; undefined after reporting anything else. */
function keyOf(
  entry: RawEntry,
  seen: ReadonlyMap<string, CheckedEntry>,
  findings: Findings,
): string | undefined {
  const { key } = entry;
  if (key.is === 'refused') findings.error(key, complaints.aliasRefused(key.text));
  else if (key.is !== 'text') findings.error(spotShown(key), complaints.badKey());
  else {
    const first = seen.get(key.text);
    if (first === undefined) return key.text;
    const line = findings.source.lineAt(first.key.start);
    findings.error(key, complaints.duplicateKey(key.text, line));
  }
  return undefined;
}

function checkList(raw: RawList, shape: ListShape, findings: Findings): Checked | undefined {
  const { least = 0, most = Number.POSITIVE_INFINITY } = shape;
  const value: Checked[] = [];
  for (const item of raw.items) {
    const checked = checkShape(item, shape.of, findings);
    if (checked !== undefined) value.push(checked);
  }
  const count = raw.items.length;
  if (count < least || count > most) {
    findings.error(raw, complaints.wrongLength(count, lengthAsked(least, most)));
    return undefined;
  }
  // A list with a wrong item in it would be read with its items out of place.
  return value.length === count ? { start: raw.start, end: raw.end, value } : undefined;
}

function lengthAsked(least: number, most: number): string {
  if (least === most) return `${least} are`;
  return Number.isFinite(most) ? `${least} to ${most} are` : `at least ${least} are`;
}

function checkEither(
  raw: Raw,
  options: readonly Shape[],
  shape: Shape,
  findings: Findings,
): Checked | undefined {
  const option = options.find((candidate) => couldHold(raw, candidate));
  return option ? checkShape(raw, option, findings) : misfit(raw, shape, findings);
}

function couldHold(raw: Raw, shape: Shape): boolean {
  switch (shape.is) {
    case 'fields':
    case 'named':
      return raw.is === 'map';
    case 'list':
      return raw.is === 'list';
    case 'either':
      return shape.options.some((option) => couldHold(raw, option));
    case 'flag':
      return raw.is === 'text' && flagOf(raw) !== undefined;
    case 'choice':
      return raw.is === 'text' && shape.words.includes(raw.text);
    default:
      return raw.is === 'text';
  }
}

function checkScalar(raw: RawText, shape: Shape, findings: Findings): Checked | undefined {
  const value = scalarValue(raw, shape, findings);
  return value === undefined ? undefined : { start: raw.start, end: raw.end, value };
}

function scalarValue(
  raw: RawText,
  shape: Shape,
  findings: Findings,
): string | number | boolean | undefined {
  switch (shape.is) {
    case 'text':
      // YAML itself reads these as no text, and so does every editor that knows the schema.
      if (raw.plain && /^(?:|~|null|Null|NULL|true|True|TRUE|false|False|FALSE)$/.test(raw.text)) {
        return misfit(raw, shape, findings);
      }
      return checkText(raw, shape, findings);
    case 'choice':
      if (shape.words.includes(raw.text)) return raw.text;
      findings.error(raw, complaints.unknownWord(raw.text, shape.words));
      return undefined;
    case 'flag':
      return flagOf(raw) ?? misfit(raw, shape, findings);
    case 'number':
      return checkNumber(raw, shape, findings);
    case 'quantity':
      return checkQuantity(raw, shape.unit, findings);
    case 'percent':
      return parsePercent(raw.text) ?? complain(raw, complaints.notPercent(raw.text), findings);
    default:
      return misfit(raw, shape, findings);
  }
}

function complain(raw: RawText, complaint: Complaint, findings: Findings): undefined {
  findings.error(raw, complaint);
  return undefined;
}

function flagOf(raw: RawText): boolean | undefined {
  if (!raw.plain) return undefined;
  if (/^(?:true|True|TRUE)$/.test(raw.text)) return true;
  return /^(?:false|False|FALSE)$/.test(raw.text) ? false : undefined;
}

function checkText(raw: RawText, shape: TextShape, findings: Findings): string | undefined {
  if (shape.pattern === undefined || patternOf(shape.pattern).test(raw.text)) return raw.text;
  const { asks = 'text of the right form' } = shape;
  return complain(raw, complaints.badName(raw.text, asks, isReserved(raw.text)), findings);
}

function checkNumber(raw: RawText, shape: NumberShape, findings: Findings): number | undefined {
  const { least, most } = shape;
  const value = raw.plain && NUMBER.test(raw.text) ? Number(raw.text) : Number.NaN;
  if (!Number.isFinite(value)) return complain(raw, complaints.notNumber(raw.text), findings);
  if ((least !== undefined && value < least) || (most !== undefined && value > most)) {
    return complain(raw, complaints.outOfRange(raw.text, least, most), findings);
  }
  return value;
}

function checkQuantity(raw: RawText, unit: Unit, findings: Findings): number | undefined {
  const value = parseQuantity(raw.text, unit);
  if (value !== undefined && value > 0) return value;
  const negative = /^-/.test(raw.text) && parseQuantity(raw.text.slice(1), unit) !== undefined;
  return value === 0 || negative
    ? complain(raw, complaints.notPositive(raw.text), findings)
    : complain(raw, complaints.notQuantity(raw.text, unit), findings);
}

const NUMBER = /^[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?$/;

const PATTERNS = new Map<string, RegExp>();

/** Compiled once per pattern: names are checked by the thousand. */
function patternOf(source: string): RegExp {
  let pattern = PATTERNS.get(source);
  if (pattern === undefined) {
    pattern = new RegExp(source, 'u');
    PATTERNS.set(source, pattern);
  }
  return pattern;
}
