import { type Diagnostic, InputError } from '../diagnostic.ts';
import { type CsvRow, findSeparator, readCsv } from './csv.ts';

/** What a bill of materials says of one part. */
export interface BomEntry {
  readonly part: string;
  readonly value: string;
  readonly footprint: string;
  readonly partNumber: string;
  readonly description: string;
  /** False when the bill says the place stays empty. */
  readonly fitted: boolean;
  readonly line: number;
}

export interface Bom {
  readonly file: string;
  readonly entries: ReadonlyMap<string, BomEntry>;
  readonly warnings: readonly Diagnostic[];
}

type Column = 'part' | 'value' | 'footprint' | 'partNumber' | 'description' | 'empty';

/** Headings by meaning, lower case, letters and digits only; earlier ones win. */
const HEADINGS: Readonly<Record<Column, readonly string[]>> = {
  part: words(
    'refdes reference references designator designators refs ref referencedesignator parts part component location',
  ),
  value: words('value val comment values nominal rating device libref'),
  footprint: words('footprint package pattern case pcbfootprint pcbpackage footprintname size'),
  partNumber: words(
    'mpn partnumber partno manufacturerpartnumber manufacturerpart mfrpartnumber mfrpn mfgpn mfgpartnumber mfpn manufacturerpn manfpartnum orderno ordercode',
  ),
  description: words('description desc partdescription details'),
  empty: words('dnp dnf dnm donotpopulate donotfit notfitted excludefrombom'),
};

/** A header may stand below a few lines of title. */
const HEADER_WITHIN = 30;

const NOT_FITTED =
  /(^|[\s,;(_/-])(DNP|DNF|DNM|DNI|NI|NF|N\.?M\.?|NP|NOPOP|NO POP|NOT FITTED|NOT POPULATED|DO NOT (FIT|POPULATE|PLACE|MOUNT|INSTALL))($|[\s,;)_/-])/i;

/** Enough for the longest list of designators; a guard against a quote that never closes. */
const LONGEST_CELL = 20_000;

/** A longer range than this is a slip of the pen, not a list of parts. */
const LONGEST_RANGE = 2000;

/**
 * Reads a bill of materials from comma-, semicolon- or tab-separated text. Columns are found by the
 * meaning of their headings; one row may list many parts (`C1, C2-C5`).
 * @throws {InputError} when no column names the parts
 */
export function readBom(text: string, file: string): Bom {
  const clean = text.replace(/^\uFEFF/, '').replaceAll('\0', '');
  const rows = readCsv(clean, findSeparator(clean));
  const header = findHeader(rows);
  if (!header) throw noHeader(rows[0], file);
  const entries = new Map<string, BomEntry>();
  const warnings: Diagnostic[] = [];
  for (const row of rows.slice(header.row + 1)) {
    for (const entry of readRow(row, header.columns)) {
      const known = entries.get(entry.part);
      if (!known) entries.set(entry.part, entry);
      else if (known.value !== entry.value) warnings.push(givenTwice(entry, known, file));
    }
  }
  return { file, entries, warnings };
}

function words(text: string): string[] {
  return text.split(' ');
}

function findHeader(
  rows: readonly CsvRow[],
): { row: number; columns: ReadonlyMap<Column, number> } | undefined {
  for (const [index, row] of rows.slice(0, HEADER_WITHIN).entries()) {
    const columns = readHeader(row);
    if (columns.has('part') && columns.size > 1) return { row: index, columns };
  }
  return undefined;
}

function readHeader(row: CsvRow): ReadonlyMap<Column, number> {
  const keys = row.cells.map((cell) => cell.toLowerCase().replace(/[^a-z0-9]/g, ''));
  const columns = new Map<Column, number>();
  for (const [column, headings] of Object.entries(HEADINGS) as [Column, readonly string[]][]) {
    for (const heading of headings) {
      const at = keys.indexOf(heading);
      if (at < 0) continue;
      columns.set(column, at);
      break;
    }
  }
  return columns;
}

function readRow(row: CsvRow, columns: ReadonlyMap<Column, number>): BomEntry[] {
  const cell = (column: Column): string =>
    (row.cells[columns.get(column) ?? -1] ?? '').replace(/\s+/g, ' ').slice(0, LONGEST_CELL);
  const value = cell('value').slice(0, 300);
  const fitted = !NOT_FITTED.test(value) && !/^(1|x|y|yes|true|dn[a-z])$/i.test(cell('empty'));
  const rest = {
    value,
    footprint: cell('footprint')
      .slice(0, 300)
      .replace(/^[^:]*:/, ''),
    partNumber: cell('partNumber').slice(0, 300),
    description: cell('description').slice(0, 300),
    fitted,
    line: row.line,
  };
  return expandDesignators(cell('part')).map((part) => ({ part, ...rest }));
}

/** `C1, C2-C5 R7` → C1, C2, C3, C4, C5, R7. A range needs one prefix and rising numbers. */
export function expandDesignators(text: string): string[] {
  const joined = text
    .replace(/\s*(?:–|—|\.\.+)\s*/g, '-')
    .replace(/(\d)\s+-\s+(?=[A-Za-z]*\d)/g, '$1-');
  return joined.split(/[\s,;]+/).flatMap((word) => (word === '' ? [] : expandRange(word)));
}

function expandRange(word: string): string[] {
  const match = /^([A-Za-z_]+)(\d+)-([A-Za-z_]*)(\d+)$/.exec(word);
  if (!match) return [word];
  const [, prefix = '', first = '', again = '', last = ''] = match;
  const span = Number(last) - Number(first);
  if ((again !== '' && again !== prefix) || span < 1 || span > LONGEST_RANGE) return [word];
  return Array.from({ length: span + 1 }, (_, step) => `${prefix}${Number(first) + step}`);
}

function noHeader(row: CsvRow | undefined, file: string): InputError {
  const text = (row?.cells ?? []).join(', ').slice(0, 200);
  return new InputError([
    {
      code: 'NO_PART_COLUMN',
      severity: 'error',
      message: 'no column of this bill of materials names the parts',
      place: { file, line: row?.line ?? 1, column: 1, endColumn: text.length + 1, text },
      hint: 'head the column "refdes", "reference" or "designator", and one with "value"',
    },
  ]);
}

function givenTwice(entry: BomEntry, known: BomEntry, file: string): Diagnostic {
  return {
    code: 'GIVEN_TWICE',
    severity: 'warning',
    message: `${entry.part} is listed twice, as "${known.value}" and as "${entry.value}"; the first is used`,
    place: { file, line: entry.line, column: 1, endColumn: 2 },
  };
}
