import type { CsvRow } from './csv.ts';

/** Headings by meaning, lower case, letters and digits only; earlier meanings and words win. */
export type Headings<Column extends string> = Readonly<Record<Column, readonly string[]>>;

/** Where the cells of a row stand, by what they mean. */
export type Columns<Column extends string> = ReadonlyMap<Column, number>;

/** A header may stand below a few lines of title. */
export const HEADER_WITHIN = 30;

/** The columns a row names, if it is a header; no column means two things. */
export function findColumns<Column extends string>(
  row: CsvRow,
  headings: Headings<Column>,
): Columns<Column> {
  const keys = row.cells.map((cell) => cell.toLowerCase().replace(/[^a-z0-9]/g, ''));
  const columns = new Map<Column, number>();
  const used = new Set<number>();
  for (const [column, names] of Object.entries(headings) as [Column, readonly string[]][]) {
    const at = names
      .map((name) => keys.findIndex((key, index) => key === name && !used.has(index)))
      .find((index) => index >= 0);
    if (at === undefined) continue;
    columns.set(column, at);
    used.add(at);
  }
  return columns;
}

/** `refdes reference` → a list of words. */
export function words(text: string): string[] {
  return text.split(' ');
}
