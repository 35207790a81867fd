import type { Diagnostic } from '../diagnostic.ts';
import { type Columns, findColumns, type Headings, words } from './columns.ts';
import type { CsvRow } from './csv.ts';
import { expandDesignators } from './designators.ts';
import { HeadedTable } from './headed-table.ts';
import { checkSize } from './netlist.ts';
import { counted } from './say.ts';
import { type LineReader, type Pieces, readLines } from './text-lines.ts';

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

type Column =
  | 'part'
  | 'value'
  | 'footprint'
  | 'partNumber'
  | 'description'
  | 'empty'
  | 'fitted'
  | 'quantity';

const HEADINGS: Headings<Column> = {
  part: words(
    'refdes reference references designator designators refs ref referencedesignator referencedesignators refdesignator refdesignators partreference partreferences circuitref circuitreference symbolreference annotation identifier parts part component components location locations position positions',
  ),
  value: words(
    'value val values comment nominal nominalvalue partvalue componentvalue rating device libref',
  ),
  footprint: words(
    'footprint package pattern case casesize casestyle pcbfootprint pcbpackage pcbdecal decal landpattern footprintname packagetype packagefootprint size',
  ),
  partNumber: words(
    'mpn partnumber partno partnr manufacturerpartnumber manufacturerspartnumber manufacturerpartno manufacturerpart manufacturerpartnum mfrpartnumber mfrpartno mfrpart mfrpn mfgpn mfgpartnumber mfgpartno mfgpart mfpn manufacturerpn manufpartnumber manfpartnum manfpartno makerspartnumber orderno ordernumber ordercode',
  ),
  description: words('description desc partdescription componentdescription details specification'),
  empty: words(
    'dnp dnf dnm dni donotpopulate donotfit donotplace donotstuff notfitted notpopulated excludefrombom',
  ),
  fitted: words('fitted populated populate fit mount mounted stuffed assembled'),
  quantity: words(
    'qty quantity qnty quant count amount pcs pieces qtyperboard quantityperboard qtyboard noof numberoff',
  ),
};

const NOT_FITTED =
  /(^|[\s,;(_/-])(DNP|DNF|DNM|DNI|DNS|NI|NF|N\.?M\.?|NP|NOPOP|NO POP|NOT FITTED|NOT POPULATED|NOT MOUNTED|DO NOT (FIT|POPULATE|PLACE|MOUNT|INSTALL|STUFF))($|[\s,;)_/-])/i;

const NO_HEADER = {
  code: 'NO_PART_COLUMN',
  message: 'no column of this bill of materials names the parts',
  hint: 'head the column "refdes", "reference" or "designator", and one with "value"',
};

/** The columns of a row that heads a bill: parts, and something of them. */
function headOf(row: CsvRow): Columns<Column> | undefined {
  const columns = findColumns(row, HEADINGS);
  return columns.has('part') && columns.size > 1 ? columns : undefined;
}

/** Enough for the longest list of designators; a guard against a quote that never closes. */
const LONGEST_CELL = 20_000;

/** Rows of one sort that are told of one by one. */
const MOST_TOLD = 20;

/**
 * Reads a bill of materials from comma-, semicolon- or tab-separated text. Columns are found by the
 * meaning of their headings; one row may list many parts (`C1, C2-C5`).
 * @throws {InputError} when no column names the parts
 */
export function readBom(text: Pieces, file: string): Bom {
  return readLines(text, file, new BomReader(file));
}

class BomReader implements LineReader<Bom> {
  readonly #file: string;
  readonly #entries = new Map<string, BomEntry>();
  readonly #warnings: Diagnostic[] = [];
  readonly #table: HeadedTable<Columns<Column>>;
  readonly #nameless = { count: 0, line: 0 };

  constructor(file: string) {
    this.#file = file;
    this.#table = new HeadedTable(file, {
      columnsOf: headOf,
      row: (row, columns) => this.#partRow(row, columns),
      noHeader: NO_HEADER,
    });
  }

  line(text: string, number: number): void {
    this.#table.line(text, number);
  }

  end(): Bom {
    this.#table.end();
    const { count, line } = this.#nameless;
    if (count > 0) {
      const message = `${counted(count, 'row')} without a designator left out, the first on line ${line}`;
      this.#warn('NO_DESIGNATOR', message, line);
    }
    return { file: this.#file, entries: this.#entries, warnings: this.#warnings };
  }

  #partRow(row: CsvRow, columns: Columns<Column>): void {
    const entries = readRow(row, columns);
    if (entries.length === 0) {
      this.#nameless.count += 1;
      if (this.#nameless.count === 1) this.#nameless.line = row.line;
    }
    for (const entry of entries) this.#keep(entry);
    this.#checkQuantity(row, columns, entries);
  }

  #keep(entry: BomEntry): void {
    const known = this.#entries.get(entry.part);
    if (!known) {
      this.#entries.set(entry.part, entry);
      checkSize(this.#file, entry.line, { parts: this.#entries.size, pins: 0 });
    } else if (known.value !== entry.value) {
      const message = `${entry.part} is listed twice, as "${known.value}" and as "${entry.value}"; the first is used`;
      this.#warn('GIVEN_TWICE', message, entry.line);
    }
  }

  /** The quantity beside a list says how many were meant. */
  #checkQuantity(row: CsvRow, columns: Columns<Column>, entries: readonly BomEntry[]): void {
    const text = row.cells[columns.get('quantity') ?? -1] ?? '';
    const match = /^(\d+)(?:[.,]0+)?\s*(?:pcs|pieces|x|ea)?$/i.exec(text.trim());
    const [first] = entries;
    if (!match || !first || Number(match[1]) === entries.length) return;
    // A place that stays empty is counted as none by some bills and as one by others.
    if (!first.fitted && Number(match[1]) === 0) return;
    const list = entries.length === 1 ? first.part : `${first.part} … ${entries.at(-1)?.part}`;
    const message = `the quantity is ${match[1]}, but ${counted(entries.length, 'part')} listed: ${list}`;
    this.#warn('QUANTITY', message, row.line, 'a designator may be missing, or be listed too much');
  }

  #warn(code: string, message: string, line: number, hint?: string): void {
    if (this.#warnings.filter((each) => each.code === code).length >= MOST_TOLD) return;
    const place = { file: this.#file, line, column: 1, endColumn: 2 };
    const base = { code, severity: 'warning' as const, message, place };
    this.#warnings.push(hint === undefined ? base : { ...base, hint });
  }
}

function readRow(row: CsvRow, columns: Columns<Column>): BomEntry[] {
  const cell = (column: Column): string =>
    (row.cells[columns.get(column) ?? -1] ?? '').replace(/\s+/g, ' ').slice(0, LONGEST_CELL);
  const value = cell('value').slice(0, 300);
  const rest = {
    value,
    footprint: cell('footprint')
      .slice(0, 300)
      .replace(/^[^:]*:/, ''),
    partNumber: cell('partNumber').slice(0, 300),
    description: cell('description').slice(0, 300),
    fitted: !saysEmpty(value, cell('empty'), cell('fitted')),
    line: row.line,
  };
  return expandDesignators(cell('part')).map((part) => ({ part, ...rest }));
}

function saysEmpty(value: string, empty: string, fitted: string): boolean {
  if (NOT_FITTED.test(value) || /^(1|x|y|yes|true|dn[a-z]|excluded.*)$/i.test(empty)) return true;
  return /^(0|n|no|false|dn[a-z]|not?[ -].*)$/i.test(fitted);
}
