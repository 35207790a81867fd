import { checkScalar, checkText, flagOf } from './check-scalar.ts';
import type { Checked, CheckedEntry } from './checked.ts';
import * as complaints from './complaints.ts';
import type { Findings } from './findings.ts';
import { misfit, spotShown } from './misfit.ts';
import { nearest } from './nearest.ts';
import type { Raw, RawEntry, RawList, RawMap } from './raw.ts';
import type { FieldsShape, ListShape, NamedShape, Shape } from './shape.ts';

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

function checkFields(raw: RawMap, shape: FieldsShape, findings: Findings): Checked {
  const value = new Map<string, CheckedEntry>();
  let misspelt: Map<string, CheckedEntry> | undefined;
  for (const entry of raw.entries) {
    const key = keyOf(entry, value, findings);
    if (key === undefined) continue;
    const of = Object.hasOwn(shape.fields, key) ? shape.fields[key] : undefined;
    if (of === undefined) {
      const known = Object.keys(shape.fields);
      findings.error(entry.key, complaints.unknownKey(key, shape.title, known));
      const meant = nearest(key, known);
      misspelt ??= new Map();
      if (meant !== undefined) misspelt.set(meant, { key: entry.key, value: undefined });
    } else {
      value.set(key, checkedEntry(entry, checkShape(entry.value, of, findings)));
    }
  }
  // A misspelt key counts as given, so that one slip is one error.
  for (const [key, entry] of misspelt ?? []) if (!value.has(key)) value.set(key, entry);
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
    if (fits) value.set(key, checkedEntry(entry, checked));
  }
  if (raw.entries.length < (shape.least ?? 0)) {
    findings.error(spotShown(raw), complaints.wrongLength(0, `at least ${shape.least}`));
  }
  return { start: raw.start, end: raw.end, value };
}

/** The entry itself where its value fitted just as it stood. */
function checkedEntry(entry: RawEntry, value: Checked | undefined): CheckedEntry {
  return value === entry.value ? (entry as CheckedEntry) : { key: entry.key, value };
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
    const first = seen.get(key.value);
    if (first === undefined) return key.value;
    const line = findings.source.lineAt(first.key.start);
    findings.error(key, complaints.duplicateKey(key.value, line));
  }
  return undefined;
}

function checkList(raw: RawList, shape: ListShape, findings: Findings): Checked | undefined {
  const { least = 0, most = Number.POSITIVE_INFINITY } = shape;
  const items = raw.value;
  const count = items.length;
  const value = new Array<Checked>(count);
  let wrong = 0;
  let changed = 0;
  for (let k = 0; k < count; k++) {
    const item = items[k] as Raw;
    const checked = checkShape(item, shape.of, findings);
    if (checked === undefined) wrong++;
    else value[k] = checked;
    if (checked !== item) changed++;
  }
  if (count < least || count > most) {
    findings.error(raw, complaints.wrongLength(count, lengthAsked(least, most)));
    return undefined;
  }
  // A list with a wrong item in it would be read with its items out of place.
  if (wrong > 0) return undefined;
  return changed === 0 ? (raw as Checked) : { start: raw.start, end: raw.end, value };
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
  // A word that is none of a choice's is told what the choice is, and which is nearest.
  const option =
    options.find((candidate) => couldHold(raw, candidate)) ??
    options.find((candidate) => raw.is === 'text' && candidate.is === 'choice');
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
      return raw.is === 'text' && shape.words.includes(raw.value);
    default:
      return raw.is === 'text';
  }
}
