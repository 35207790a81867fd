import { InputError } from '../diagnostic.ts';
import { HEADER_WITHIN } from './columns.ts';
import { CsvCutter, type CsvRow, findSeparator, openQuote } from './csv.ts';

/** What a table is to its reader. */
export interface HeadedRows<Columns> {
  /** What a row names as columns, if it is the header. */
  columnsOf(row: CsvRow): Columns | undefined;
  /** Takes a row below the header. */
  row(row: CsvRow, columns: Columns): void;
  /** Said where no row is a header. */
  readonly noHeader: { readonly code: string; readonly message: string; readonly hint: string };
}

/** Separated text with a header in one of its first rows, handed over line by line. */
export class HeadedTable<Columns> {
  readonly #file: string;
  readonly #rows: HeadedRows<Columns>;
  /** Lines kept until the separator is settled. */
  #head: { text: string; number: number }[] = [];
  #cutter: CsvCutter | undefined;
  #first: CsvRow | undefined;
  #headRows = 0;
  #columns: Columns | undefined;

  constructor(file: string, rows: HeadedRows<Columns>) {
    this.#file = file;
    this.#rows = rows;
  }

  /** @throws {InputError} when the header does not come */
  line(text: string, number: number): void {
    if (this.#cutter) this.#cutter.line(text, number);
    else {
      this.#head.push({ text, number });
      if (this.#head.length >= HEADER_WITHIN) this.#begin();
    }
  }

  /** @throws {InputError} when a quote is still open, or no row was a header */
  end(): void {
    if (!this.#cutter) this.#begin();
    const open = this.#cutter?.end();
    if (open !== undefined) throw openQuote(this.#file, open);
    if (this.#columns === undefined) throw this.#noHeader();
  }

  #begin(): void {
    const separator = findSeparator(this.#head.map(({ text }) => text).join('\n'));
    this.#cutter = new CsvCutter(separator, this.#file, (row) => this.#row(row));
    for (const { text, number } of this.#head) this.#cutter.line(text, number);
    this.#head = [];
  }

  #row(row: CsvRow): void {
    if (this.#columns !== undefined) {
      this.#rows.row(row, this.#columns);
      return;
    }
    this.#first ??= row;
    this.#headRows += 1;
    if (this.#headRows > HEADER_WITHIN) throw this.#noHeader();
    this.#columns = this.#rows.columnsOf(row);
  }

  #noHeader(): InputError {
    const text = rowText(this.#first);
    const line = this.#first?.line ?? 1;
    const place = { file: this.#file, line, column: 1, endColumn: text.length + 1, text };
    return new InputError([{ ...this.#rows.noHeader, severity: 'error', place }]);
  }
}

/** A row as it may be shown. */
export function rowText(row: CsvRow | undefined): string {
  return (row?.cells ?? []).join(', ').slice(0, 200);
}
