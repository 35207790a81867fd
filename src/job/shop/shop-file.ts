import { catalogue } from '../../board/catalogue.ts';
import { checkShape } from '../../board/check-shape.ts';
import {
  type Checked,
  entriesOf,
  fieldOf,
  itemsOf,
  numberOf,
  textOf,
  textsOf,
} from '../../board/checked.ts';
import { type Diagnostic, InputError } from '../../board/diagnostic.ts';
import { Findings } from '../../board/findings.ts';
import type { Raw } from '../../board/raw.ts';
import { readDocument } from '../../board/read-yaml.ts';
import type { FieldsShape, Shape } from '../../board/shape.ts';
import { SourceText } from '../../board/source-text.ts';
import { DEFAULT_SHOP, type Doubts, type Shop, type ShopCheck } from './shop.ts';
import * as complaints from './shop-complaints.ts';
import { SHOP_SHAPE } from './shop-shape.ts';

/** A settings file that was read. */
export interface LoadedShop {
  readonly shop: Shop;
  /** Line of each figure the file gives, by its path in the file: `bench-times.reading.ohms`. */
  readonly lines: ReadonlyMap<string, number>;
  readonly warnings: readonly Diagnostic[];
}

const MOST_MEGABYTES = 4;

/**
 * Reads and checks a shop's settings file; whatever it leaves out keeps its default.
 * @param text what the file holds
 * @param file its name as given, for messages
 * @throws {InputError} with everything wrong in it, in file order
 */
export function loadShop(text: string, file: string): LoadedShop {
  const findings = new Findings(new SourceText(text, file));
  if (text.length > MOST_MEGABYTES * 1e6) {
    findings.error({ start: 0, end: 0 }, complaints.tooBig(MOST_MEGABYTES));
    throw new InputError(findings.errors());
  }
  const raw = read(findings.source);
  if (raw === undefined) findings.error({ start: 0, end: 0 }, complaints.noSettings());
  const checked = raw && checkShape(raw, SHOP_SHAPE, findings);
  checkShares(checked, findings);
  checkOrder(checked, findings);
  checkKinds(checked, findings);
  const errors = findings.errors();
  if (errors.length > 0) throw new InputError(errors.map(complaints.inShopWords));
  const shop = filled(checked, SHOP_SHAPE, DEFAULT_SHOP) as Shop;
  const checks = itemsOf(fieldOf(checked, 'checks')).map(checkOf);
  const lines = new Map<string, number>();
  noteLines(checked, SHOP_SHAPE, '', (path, { start }) =>
    lines.set(path, findings.source.lineAt(start)),
  );
  return { shop: { ...shop, checks }, lines, warnings: findings.warnings() };
}

/**
 * Doubts as a job's opening keeps them: those that differ from the defaults, in the words of the file.
 * Undefined when the data is none: written by a newer version, or by hand.
 */
export function doubtsFrom(kept: unknown): Doubts | undefined {
  try {
    return loadShop(JSON.stringify({ doubts: kept }), 'job').shop.doubts;
  } catch (error) {
    if (error instanceof InputError) return undefined;
    throw error;
  }
}

function read(source: SourceText): Raw | undefined {
  try {
    return readDocument(source);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw new InputError(error.diagnostics.map(complaints.inShopWords));
  }
}

/**
 * The name that a key of the file has in {@link Shop}: `hourly-rate` is `hourlyRate`; where the
 * defaults spell a word of the trade as it is said (`four-wire`, `two leads`), that.
 */
export function propertyOf(key: string, defaults: object): string {
  const spelt = [key, key.replaceAll('-', ' ')].find((word) => Object.hasOwn(defaults, word));
  return spelt ?? key.replace(/-([a-z])/g, (_, letter: string) => letter.toUpperCase());
}

/** Checked data over its defaults; maps of names stay maps, lists lists. */
function filled(piece: Checked | undefined, shape: Shape, fallback: unknown): unknown {
  if (piece === undefined) return fallback;
  if (shape.is === 'fields') {
    const defaults = (fallback ?? {}) as Readonly<Record<string, unknown>>;
    const found = Object.entries(shape.fields).flatMap(([key, of]) => {
      const property = propertyOf(key, defaults);
      const value = filled(fieldOf(piece, key), of, defaults[property]);
      return value === undefined ? [] : [[property, value] as const];
    });
    return { ...defaults, ...Object.fromEntries(found) };
  }
  if (shape.is === 'named') {
    const entries = [...entriesOf(piece)].map(([name, { value }]) => [
      name,
      filled(value, shape.of, undefined),
    ]);
    return new Map(entries as [string, unknown][]);
  }
  if (shape.is === 'list') return itemsOf(piece).map((item) => filled(item, shape.of, undefined));
  return piece.value;
}

/** A check is its words alone, or its words and the boards it is for. */
function checkOf(item: Checked): ShopCheck {
  const words = textOf(item);
  if (words !== undefined) return { check: words, boards: [] };
  return { check: textOf(fieldOf(item, 'check')) ?? '', boards: textsOf(fieldOf(item, 'boards')) };
}

function noteLines(
  piece: Checked | undefined,
  shape: Shape,
  path: string,
  note: (path: string, piece: Checked) => void,
): void {
  if (piece === undefined) return;
  if (shape.is !== 'fields' && shape.is !== 'named') {
    note(path, piece);
    return;
  }
  for (const [key, { value }] of entriesOf(piece)) {
    const of = shape.is === 'named' ? shape.of : shape.fields[key];
    if (of !== undefined) noteLines(value, of, path === '' ? key : `${path}.${key}`, note);
  }
}

/** A share of none or all would leave the reasoning nothing to weigh. */
const LEAST_SHARE = 1e-6;
const MOST_SHARE = 0.999;
/** No weight that anything is weighed by: all of it says that something is never done. */
const NEVER_AT_ALL = 'fit-unread-from';

function checkShares(checked: Checked | undefined, findings: Findings): void {
  const doubts = fieldOf(checked, 'doubts');
  const shape = SHOP_SHAPE.fields.doubts as FieldsShape;
  for (const [key, of] of Object.entries(shape.fields)) {
    if (of.is !== 'percent') continue;
    requireShare(
      fieldOf(doubts, key),
      LEAST_SHARE,
      key === NEVER_AT_ALL ? 1 : MOST_SHARE,
      findings,
    );
  }
  const suspicion = fieldOf(fieldOf(checked, 'policies'), 'replace-on-suspicion');
  requireShare(fieldOf(suspicion, 'from'), 0.01, 1, findings);
  requireShare(fieldOf(fieldOf(checked, 'thresholds'), 'worth-up-to'), 0.01, 10, findings);
}

function requireShare(
  piece: Checked | undefined,
  least: number,
  most: number,
  findings: Findings,
): void {
  const value = numberOf(piece);
  if (piece === undefined || value === undefined || (value >= least && value <= most)) return;
  findings.error(piece, complaints.shareOutOfRange(percents(least), percents(most)));
}

function percents(ratio: number): string {
  return `${Number((ratio * 100).toPrecision(4))}%`;
}

function checkOrder(checked: Checked | undefined, findings: Findings): void {
  const doubts = fieldOf(checked, 'doubts');
  const [clear, sure] = [fieldOf(doubts, 'clear-below'), fieldOf(doubts, 'sure-from')];
  const { clearBelow, sureFrom } = DEFAULT_SHOP.doubts;
  const spot = clear ?? sure;
  if (spot !== undefined && (numberOf(clear) ?? clearBelow) >= (numberOf(sure) ?? sureFrom)) {
    findings.error(spot, complaints.clearAboveSure());
  }
  const discharge = fieldOf(fieldOf(checked, 'thresholds'), 'discharge');
  const [warn, refuse] = [fieldOf(discharge, 'warn-volts'), fieldOf(discharge, 'refuse-volts')];
  const { warnVolts, refuseVolts } = DEFAULT_SHOP.thresholds.discharge;
  const place = warn ?? refuse;
  if (place !== undefined && (numberOf(warn) ?? warnVolts) > (numberOf(refuse) ?? refuseVolts)) {
    findings.error(place, complaints.warnAboveRefuse());
  }
}

/** A board may add kinds of its own, so an unknown one is no error. */
function checkKinds(checked: Checked | undefined, findings: Findings): void {
  const suspicion = fieldOf(fieldOf(checked, 'policies'), 'replace-on-suspicion');
  const usual = entriesOf(fieldOf(fieldOf(checked, 'prices'), 'usual'));
  const named = [
    ...itemsOf(fieldOf(suspicion, 'kinds')).map((item) => [String(item.value), item] as const),
    ...[...usual].map(([name, { key }]) => [name, key] as const),
  ];
  if (named.length === 0) return;
  const known = [...catalogue().keys()];
  for (const [name, spot] of named) {
    if (!known.includes(name)) findings.warning(spot, complaints.unknownKindHere(name, known));
  }
}
