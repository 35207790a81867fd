import type { Checked } from './checked.ts';
import * as complaints from './complaints.ts';
import type { Complaint, Findings } from './findings.ts';
import { type Measure, parseMeasure } from './measures.ts';
import { misfit } from './misfit.ts';
import { isReserved } from './names.ts';
import type { RawText } from './raw.ts';
import type { NumberShape, QuantityShape, Shape, TextShape } from './shape.ts';
import { parsePercent, parseQuantity } from './units.ts';

/** Checks a scalar against a shape that is neither a map nor a list; a number takes the place of its text. */
export function checkScalar(raw: RawText, shape: Shape, findings: Findings): Checked | undefined {
  const value = scalarValue(raw, shape, findings);
  if (value === undefined) return undefined;
  const piece: { value: Checked['value'] } & Checked = raw;
  piece.value = value;
  return piece;
}

function scalarValue(
  raw: RawText,
  shape: Shape,
  findings: Findings,
): string | number | boolean | undefined {
  switch (shape.is) {
    case 'text':
      // YAML itself reads these as no text, and so does every editor that knows the schema.
      if (raw.plain && NO_TEXT.has(raw.value)) return misfit(raw, shape, findings);
      return checkText(raw, shape, findings);
    case 'choice':
      if (shape.words.includes(raw.value)) return raw.value;
      findings.error(raw, complaints.unknownWord(raw.value, shape.words));
      return undefined;
    case 'flag':
      return flagOf(raw) ?? misfit(raw, shape, findings);
    case 'number':
      return checkNumber(raw, shape, findings);
    case 'quantity':
      return checkQuantity(raw, shape, findings);
    case 'percent':
      return parsePercent(raw.value) ?? complain(raw, complaints.notPercent(raw.value), findings);
    case 'measure':
      return checkMeasure(raw, shape.of, findings);
    default:
      return misfit(raw, shape, findings);
  }
}

const NO_TEXT: ReadonlySet<string> = new Set([
  '',
  '~',
  'null',
  'Null',
  'NULL',
  'true',
  'True',
  'TRUE',
  'false',
  'False',
  'FALSE',
]);

function checkMeasure(raw: RawText, of: Measure, findings: Findings): number | undefined {
  const bare = of === 'length' && raw.plain && NUMBER.test(raw.value) ? Number(raw.value) : 0;
  const value = bare > 0 ? bare : parseMeasure(raw.value, of);
  return value ?? complain(raw, complaints.notMeasure(raw.value, of), findings);
}

function complain(raw: RawText, complaint: Complaint, findings: Findings): undefined {
  findings.error(raw, complaint);
  return undefined;
}

/** True or false as YAML writes them, without quotes; undefined for anything else. */
export function flagOf(raw: RawText): boolean | undefined {
  if (!raw.plain) return undefined;
  if (/^(?:true|True|TRUE)$/.test(raw.value)) return true;
  return /^(?:false|False|FALSE)$/.test(raw.value) ? false : undefined;
}

/** The text, when its form is the one asked for. */
export function checkText(raw: RawText, shape: TextShape, findings: Findings): string | undefined {
  if (shape.pattern === undefined || patternOf(shape.pattern).test(raw.value)) return raw.value;
  const { asks = 'text of the right form' } = shape;
  return complain(raw, complaints.badName(raw.value, asks, isReserved(raw.value)), findings);
}

function checkNumber(raw: RawText, shape: NumberShape, findings: Findings): number | undefined {
  const { least, most } = shape;
  const value = raw.plain && NUMBER.test(raw.value) ? Number(raw.value) : Number.NaN;
  if (!Number.isFinite(value)) return complain(raw, complaints.notNumber(raw.value), findings);
  if ((least !== undefined && value < least) || (most !== undefined && value > most)) {
    return complain(raw, complaints.outOfRange(raw.value, least, most), findings);
  }
  return value;
}

function checkQuantity(
  raw: RawText,
  { unit, zero }: QuantityShape,
  findings: Findings,
): number | undefined {
  const value = parseQuantity(raw.value, unit);
  if (value !== undefined && (value > 0 || zero === true)) return value;
  const negative = /^-/.test(raw.value) && parseQuantity(raw.value.slice(1), unit) !== undefined;
  return value === 0 || negative
    ? complain(raw, complaints.notPositive(raw.value, unit), findings)
    : complain(raw, complaints.notQuantity(raw.value, unit), findings);
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
