/** One record of a separated-values text. */
export interface CsvRow {
  readonly cells: readonly string[];
  /** Line the record starts on, from 1. */
  readonly line: number;
}

/**
 * Splits a text into records and cells after RFC 4180: cells may stand in double quotes, a doubled
 * quote inside stands for one, and quoted cells may hold separators and line breaks. A quote that
 * never closes runs to the end of the text. Blank lines are left out.
 */
export function readCsv(text: string, separator: string): CsvRow[] {
  const rows: CsvRow[] = [];
  let cells: string[] = [];
  let line = 1;
  let rowLine = 1;
  let at = 0;
  const endRow = (): void => {
    if (cells.some((cell) => cell !== '')) rows.push({ cells, line: rowLine });
    cells = [];
    rowLine = line;
  };
  while (at < text.length) {
    const quoted = text[at] === '"';
    const end = quoted ? quotedEnd(text, at) : plainEnd(text, at, separator);
    const raw = text.slice(at, end);
    cells.push((quoted ? unquote(raw) : raw).trim());
    for (let i = raw.indexOf('\n'); i >= 0; i = raw.indexOf('\n', i + 1)) line += 1;
    // Whatever follows a closing quote belongs to no cell, up to the next separator.
    at = plainEnd(text, end, separator);
    if (text[at] === separator) {
      at += 1;
      if (at === text.length) cells.push('');
      continue;
    }
    at += text.startsWith('\r\n', at) ? 2 : 1;
    line += 1;
    endRow();
  }
  endRow();
  return rows;
}

/** The separator that cuts the first lines most often, outside quotes: `,`, `;`, tab or `|`. */
export function findSeparator(text: string): string {
  const head = text.slice(0, 4000).replace(/"[^"]*"/g, '');
  const counts = [',', ';', '\t', '|'].map((mark) => [mark, head.split(mark).length] as const);
  return counts.reduce((best, next) => (next[1] > best[1] ? next : best))[0];
}

function quotedEnd(text: string, start: number): number {
  let at = start + 1;
  for (;;) {
    const quote = text.indexOf('"', at);
    if (quote < 0) return text.length;
    if (text[quote + 1] !== '"') return quote + 1;
    at = quote + 2;
  }
}

function plainEnd(text: string, start: number, separator: string): number {
  let at = start;
  while (at < text.length && text[at] !== separator && text[at] !== '\n' && text[at] !== '\r')
    at += 1;
  return at;
}

function unquote(raw: string): string {
  const closed = raw.length > 1 && raw.endsWith('"');
  return raw.slice(1, closed ? -1 : undefined).replaceAll('""', '"');
}
