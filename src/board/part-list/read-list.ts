import { createHash } from 'node:crypto';
import { type Diagnostic, InputError } from '../diagnostic.ts';
import { type Bom, type BomEntry, readBom } from '../import/bom.ts';
import { cleanPin } from '../import/clean-names.ts';
import {
  type Columns,
  findColumns,
  HEADER_WITHIN,
  type Headings,
  words,
} from '../import/columns.ts';
import { type CsvRow, findSeparator, readCsv } from '../import/csv.ts';
import { expandDesignators } from '../import/designators.ts';
import type { SourcePart } from '../import/draft.ts';
import { guessKind } from '../import/guess-kind.ts';
import { naturalOrder } from '../import/join-bom.ts';
import { isYetToFind, type ListedPart, type ListedPin, type PartList } from './part-list.ts';
import { pinCountOf } from './pin-count.ts';

type Column = 'part' | 'pin' | 'count' | 'net' | 'x' | 'y' | 'side' | 'value' | 'footprint';

const HEADINGS: Headings<Column> = {
  part: words(
    'refdes reference references designator designators refdesignator ref refs part parts component',
  ),
  pin: words('pin pinnumber pinno pinname pad padnumber padname terminal'),
  count: words('pins pincount numberofpins pads padcount'),
  net: words('net netname signal'),
  x: words('x xmm posx midx centerx centrex refx padx positionx xposition'),
  y: words('y ymm posy midy centery centrey refy pady positiony yposition'),
  side: words('side layer boardside'),
  value: words('value val comment description mpn partnumber'),
  footprint: words('footprint package pattern case'),
};

/** Beyond any board that one probes by hand. */
const MOST_PINS = 20_000;

interface Gathered {
  readonly pins: Map<string, Omit<ListedPin, 'role'>>;
  at?: readonly [number, number];
  side?: 'top' | 'bottom';
  count?: number;
  readonly line: number;
}

/**
 * Reads parts and pins without nets from comma-, semicolon- or tab-separated text: one pin a row, or
 * a bill of materials, whose pins follow from bodies and letters. Columns `x` and `y`, in mm, place
 * a pin or a part.
 * @param bom a bill of materials beside a list of pins
 * @throws {InputError} when no column names the parts, or no pin is found
 */
export function readList(
  text: string,
  file: string,
  bom?: { text: string; file: string },
): PartList {
  const rows = readCsv(text, findSeparator(text), file);
  const header = headerOf(rows);
  if (header === undefined) throw noHeader(file, rows[0]);
  const warnings: Diagnostic[] = [];
  const parts = new Map<string, Gathered>();
  const twice = rows.slice(header.row + 1).flatMap((row) => takeRow(parts, row, header.columns));
  const facts = factsOf(text, file, header.columns, bom, warnings);
  const unfitted = [...(facts?.entries.values() ?? [])].filter(({ fitted }) => !fitted);
  for (const { part } of unfitted) parts.delete(part);
  const listed = [...parts].sort(([a], [b]) => naturalOrder(a, b));
  const made = listed.map(([name, part]) => listedPart(name, part, facts?.entries.get(name)));
  const bare = made.filter(({ pins }) => pins.length === 0).map(({ name }) => name);
  if (bare.length > 0) warnings.push(noPins(bare, file));
  if (twice.length > 0) warnings.push(listedTwice([...new Set(twice)], file));
  const count = made.reduce((sum, { pins }) => sum + pins.length, 0);
  if (count === 0 || count > MOST_PINS) throw wrongSize(file, count);
  return {
    name: stemOf(file),
    file,
    digest: createHash('sha256').update(text).digest('hex'),
    parts: made.filter(({ pins }) => pins.length > 0),
    warnings,
  };
}

function headerOf(rows: readonly CsvRow[]): { row: number; columns: Columns<Column> } | undefined {
  for (const [row, each] of rows.slice(0, HEADER_WITHIN).entries()) {
    const columns = findColumns(each, HEADINGS);
    if (columns.has('part') && columns.size > 1) return { row, columns };
  }
  return undefined;
}

/** Puts a row's pins to its parts; gives those that were listed before. */
function takeRow(
  parts: Map<string, Gathered>,
  row: CsvRow,
  columns: Columns<Column>,
): readonly string[] {
  const twice: string[] = [];
  const cell = (column: Column): string => (row.cells[columns.get(column) ?? -1] ?? '').trim();
  const at = placeOf(cell('x'), cell('y'));
  const side = sideOf(cell('side'));
  const pin = cleanPin(cell('pin'));
  for (const name of expandDesignators(cell('part'))) {
    if (!/^[^\s.:,]{1,100}$/u.test(name)) continue;
    const part: Gathered = parts.get(name) ?? { pins: new Map(), line: row.line };
    parts.set(name, part);
    if (side !== undefined) part.side = side;
    if (!columns.has('pin')) {
      if (at !== undefined) part.at = at;
      const count = Number(cell('count'));
      if (Number.isInteger(count) && count > 0 && count <= MOST_PINS) part.count = count;
    } else if (cell('pin') !== '') {
      const net = cell('net');
      const known = net === '' || isYetToFind(net) ? {} : { net };
      if (part.pins.has(pin)) twice.push(`${name}.${pin}`);
      part.pins.set(pin, { name: pin, ...(at === undefined ? {} : { at }), ...known });
    }
  }
  return twice;
}

function placeOf(x: string, y: string): readonly [number, number] | undefined {
  const place = [millimetres(x), millimetres(y)] as const;
  return Number.isFinite(place[0]) && Number.isFinite(place[1]) ? place : undefined;
}

function millimetres(text: string): number {
  const match = /^([+-]?\d+(?:[.,]\d+)?)\s*(mm|mil|mils|in|inch)?$/i.exec(text);
  if (match === null) return Number.NaN;
  const value = Number(match[1]?.replace(',', '.'));
  const unit = match[2]?.toLowerCase() ?? 'mm';
  return value * (unit === 'mm' ? 1 : unit.startsWith('mil') ? 0.0254 : 25.4);
}

function sideOf(text: string): 'top' | 'bottom' | undefined {
  if (/^(t|top|front|f\.cu|component)/i.test(text)) return 'top';
  return /^(b|bot|bottom|back|b\.cu|solder)/i.test(text) ? 'bottom' : undefined;
}

/** Values and bodies: of the bill beside the list, else of the list itself where it has them. */
function factsOf(
  text: string,
  file: string,
  columns: Columns<Column>,
  bom: { text: string; file: string } | undefined,
  warnings: Diagnostic[],
): Bom | undefined {
  if (bom === undefined && !columns.has('value') && !columns.has('footprint')) return undefined;
  const facts = bom === undefined ? readBom(text, file) : readBom(bom.text, bom.file);
  // In a list of pins every part comes once for each pin, as it should.
  if (bom !== undefined || !columns.has('pin')) warnings.push(...facts.warnings);
  return facts;
}

function listedPart(name: string, part: Gathered, entry: BomEntry | undefined): ListedPart {
  const letters = /^[A-Za-z]*/.exec(name)?.[0].toUpperCase() ?? '';
  const facts = {
    name,
    letters,
    value: entry?.value ?? '',
    footprint: entry?.footprint ?? '',
    partNumber: entry?.partNumber ?? '',
    description: entry?.description ?? '',
  };
  const named = [...part.pins.values()].sort((a, b) => naturalOrder(a.name, b.name));
  const pins = named.length > 0 ? named : numbered(part, facts);
  const marked = pins.map((pin) => ({ name: pin.name, net: `pad ${pin.name}`, pads: 1 }));
  const draft = guessKind({ ...facts, pins: marked }, { pinCount: () => 2 });
  const roles = new Map(draft.pins.map((pin) => [pin.net, pin.name]));
  return {
    name,
    kind: draft.kind,
    ...(draft.ohms === undefined ? {} : { ohms: draft.ohms }),
    windings: [],
    pins: pins.map((pin) => ({ ...pin, role: roles.get(`pad ${pin.name}`) ?? pin.name })),
    source: { ...facts, ...(part.side === undefined ? {} : { side: part.side }) },
  };
}

function numbered(part: Gathered, facts: Omit<SourcePart, 'pins'>): Omit<ListedPin, 'role'>[] {
  const text = `${facts.value} ${facts.description}`;
  const count = part.count ?? pinCountOf(facts.letters, facts.footprint, text) ?? 0;
  const at = part.at === undefined ? {} : { at: part.at };
  return Array.from({ length: count }, (_, index) => ({ name: String(index + 1), ...at }));
}

function stemOf(file: string): string {
  const base = file.slice(Math.max(file.lastIndexOf('/'), file.lastIndexOf('\\')) + 1);
  return base.replace(/\.[A-Za-z]\w{0,4}$/, '') || 'board';
}

function noHeader(file: string, row: CsvRow | undefined): InputError {
  const text = (row?.cells ?? []).join(', ').slice(0, 200);
  return new InputError([
    {
      code: 'NO_PART_COLUMN',
      severity: 'error',
      message: 'no row heads columns of parts and their pins or values',
      place: { file, line: row?.line ?? 1, column: 1, endColumn: text.length + 1, text },
      hint: 'head them "part" and "pin", one pin a row, or "refdes", "value" and "footprint"',
    },
  ]);
}

/** Pads of one pin are one point; two parts of one name would be taken for one. */
function listedTwice(pins: readonly string[], file: string): Diagnostic {
  return {
    code: 'LISTED_TWICE',
    severity: 'warning',
    message: `listed more than once, and taken for one point each: ${someOf(pins)}`,
    place: { file, line: 1, column: 1, endColumn: 2 },
    hint: 'pads of one pin may stay so; two parts of one name need a name each',
  };
}

function someOf(names: readonly string[]): string {
  const more = names.length > 8 ? ` and ${names.length - 8} more` : '';
  return `${names.slice(0, 8).join(', ')}${more}`;
}

function noPins(names: readonly string[], file: string): Diagnostic {
  return {
    code: 'NO_PINS',
    severity: 'warning',
    message: `left out, as nothing tells how many pins they have: ${someOf(names)}`,
    place: { file, line: 1, column: 1, endColumn: 2 },
    hint: 'give them a column "pins", or list their pins one a row',
  };
}

function wrongSize(file: string, count: number): InputError {
  const message = count === 0 ? 'no pin is listed' : `${count} pins: more than anybody probes`;
  return new InputError([
    {
      code: count === 0 ? 'NO_PINS' : 'TOO_MANY',
      severity: 'error',
      message,
      place: { file, line: 1, column: 1, endColumn: 2 },
    },
  ]);
}
