/** Enough of a terminal to know what a person sees: rows of characters and where the cursor is. */
export class Screen {
  columns: number;
  rows: number;
  #grid: string[][];
  #row = 0;
  #column = 0;
  /** Everything received, escape sequences included. */
  raw = '';
  /** True once a line was longer than the screen is wide. */
  wrapped = false;

  constructor(columns: number, rows: number) {
    this.columns = columns;
    this.rows = rows;
    this.#grid = Array.from({ length: rows }, () => []);
  }

  /** What stands on the screen, without blanks at line ends or empty lines at the end. */
  text(): string {
    return this.#grid
      .map((row) =>
        Array.from(row, (char) => char ?? ' ')
          .join('')
          .trimEnd(),
      )
      .join('\n')
      .trimEnd();
  }

  /** What stood there is gone: a terminal may do with it what it likes. */
  resize(columns: number, rows: number): void {
    this.#grid = Array.from({ length: rows }, () => []);
    this.columns = columns;
    this.rows = rows;
    this.#row = 0;
    this.#column = 0;
  }

  write(data: string): void {
    this.raw += data;
    const pattern =
      // biome-ignore lint/suspicious/noControlCharactersInRegex: a terminal is made of them.
      /\u001b\[([?\d;]*)([A-Za-z])|\u001b[()=>][0-9A-B]?|\r|\n|\u0007|\u0008|[^\u0000-\u001f]/gu;
    for (const match of data.matchAll(pattern)) {
      const [all, args, command] = match;
      if (command !== undefined) this.#control(command, args ?? '');
      else if (all === '\r') this.#column = 0;
      else if (all === '\n') this.#newLine();
      else if (all === '\u0008') this.#column = Math.max(0, this.#column - 1);
      else if (!all.startsWith('\u001b') && all !== '\u0007') this.#put(all);
    }
  }

  #put(char: string): void {
    if (this.#column >= this.columns) {
      this.wrapped = true;
      this.#column = 0;
      this.#newLine();
    }
    const row = this.#grid[this.#row] ?? [];
    row[this.#column] = char;
    this.#column += 1;
  }

  #newLine(): void {
    this.#row += 1;
    if (this.#row < this.rows) return;
    this.#grid.shift();
    this.#grid.push([]);
    this.#row = this.rows - 1;
  }

  #control(command: string, args: string): void {
    const count = Number(args.split(';')[0]) || 1;
    if (command === 'A') this.#row = Math.max(0, this.#row - count);
    else if (command === 'B') this.#row = Math.min(this.rows - 1, this.#row + count);
    else if (command === 'C') this.#column = Math.min(this.columns - 1, this.#column + count);
    else if (command === 'D') this.#column = Math.max(0, this.#column - count);
    else if (command === 'G') this.#column = count - 1;
    else if (command === 'H') this.#moveTo(args);
    else if (command === 'J') this.#erase(args);
    else if (command === 'K') this.#eraseLine(args);
  }

  #moveTo(args: string): void {
    const [row, column] = args.split(';').map(Number);
    this.#row = (row || 1) - 1;
    this.#column = (column || 1) - 1;
  }

  #erase(args: string): void {
    const from = args === '2' ? 0 : this.#row + 1;
    for (let row = from; row < this.rows; row += 1) this.#grid[row] = [];
    if (args !== '2') this.#eraseLine('');
  }

  #eraseLine(args: string): void {
    const row = this.#grid[this.#row] ?? [];
    if (args === '2') row.length = 0;
    else row.length = Math.min(row.length, this.#column);
  }
}
