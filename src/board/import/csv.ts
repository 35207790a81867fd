import { InputError } from '../diagnostic.ts';
import { readLines } from './text-lines.ts';

/** One record of a separated-values text. */
export interface CsvRow {
  readonly cells: readonly string[];
  /** Line the record starts on, from 1. */
  readonly line: number;
}

/** No cell holds more; a quote that never closes takes the rest of the file with it. */
const LONGEST_CELL = 1 << 20;

/**
 * Cuts lines into records and cells after RFC 4180: cells may stand in double quotes, a doubled
 * quote inside stands for one, and quoted cells may hold separators and line breaks. Blank lines
 * are left out.
 */
export class CsvCutter {
  readonly #separator: string;
  readonly #file: string;
  readonly #each: (row: CsvRow) => void;
  #cells: string[] = [];
  #line = 1;
  /** What a quoted cell holds so far that goes on in the next line. */
  #open: string[] | undefined;
  #openLetters = 0;

  constructor(separator: string, file: string, each: (row: CsvRow) => void) {
    this.#separator = separator;
    this.#file = file;
    this.#each = each;
  }

  line(text: string, number: number): void {
    let at = 0;
    if (this.#open) {
      const end = closingQuote(text, 0);
      if (end === undefined) {
        this.#open.push(text);
        this.#openLetters += text.length;
        if (this.#openLetters > LONGEST_CELL) throw openQuote(this.#file, this.#line);
        return;
      }
      this.#close(text.slice(0, end));
      at = plainEnd(text, end + 1, this.#separator);
      if (at === text.length) {
        this.#endRow();
        return;
      }
      at += 1;
    } else this.#line = number;
    this.#cellsFrom(text, at);
  }

  /** @returns the line of a record whose quote never closes; that record then ends with the text */
  end(): number | undefined {
    if (!this.#open) return undefined;
    const line = this.#line;
    this.#close('');
    this.#endRow();
    return line;
  }

  #cellsFrom(text: string, start: number): void {
    let at = start;
    for (;;) {
      if (text[at] === '"') {
        const end = closingQuote(text, at + 1);
        this.#open = [text.slice(at + 1, end)];
        if (end === undefined) return;
        this.#close('');
        // Whatever follows a closing quote belongs to no cell, up to the next separator.
        at = plainEnd(text, end + 1, this.#separator);
      } else {
        const end = plainEnd(text, at, this.#separator);
        this.#cells.push(text.slice(at, end).trim());
        at = end;
      }
      if (at >= text.length) break;
      at += 1;
    }
    this.#endRow();
  }

  #close(last: string): void {
    const pieces = this.#open ?? [];
    const whole =
      pieces.length === 1 && last === '' ? (pieces[0] ?? '') : [...pieces, last].join('\n');
    this.#cells.push(whole.replaceAll('""', '"').trim());
    this.#open = undefined;
    this.#openLetters = 0;
  }

  #endRow(): void {
    const cells = this.#cells;
    this.#cells = [];
    if (cells.some((cell) => cell !== '')) this.#each({ cells, line: this.#line });
  }
}

/** All records of a text; a quote that never closes runs to its end. */
export function readCsv(text: string, separator: string, file = ''): CsvRow[] {
  const rows: CsvRow[] = [];
  const cutter = new CsvCutter(separator, file, (row) => rows.push(row));
  return readLines(text, file, {
    line: (line, number) => cutter.line(line, number),
    end: () => {
      cutter.end();
      return rows;
    },
  });
}

/** What is wrong where a quote opens a cell and nothing closes it. */
export function openQuote(file: string, line: number): InputError {
  const place = { file, line, column: 1, endColumn: 2 };
  const message = `a quote in the row that begins on line ${line} is never closed`;
  const hint = 'close it, or double a quote that stands for an inch mark';
  return new InputError([{ code: 'OPEN_QUOTE', severity: 'error', message, place, hint }]);
}

/** The separator that cuts the first lines most often, outside quotes: `,`, `;`, tab or `|`. */
export function findSeparator(text: string): string {
  const head = text.slice(0, 4000).replace(/"[^"]*"/g, '');
  const counts = [',', ';', '\t', '|'].map((mark) => [mark, head.split(mark).length] as const);
  return counts.reduce((best, next) => (next[1] > best[1] ? next : best))[0];
}

/** Where a quote stands that closes a cell; doubled ones do not. */
function closingQuote(text: string, start: number): number | undefined {
  let at = start;
  for (;;) {
    const quote = text.indexOf('"', at);
    if (quote < 0) return undefined;
    if (text[quote + 1] !== '"') return quote;
    at = quote + 2;
  }
}

function plainEnd(text: string, start: number, separator: string): number {
  const end = text.indexOf(separator, start);
  return end < 0 ? text.length : end;
}
