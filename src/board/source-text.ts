import type { Place } from './diagnostic.ts';

/** A stretch of the text, as offsets from its start; `end` is one past the last character. */
export interface Spot {
  readonly start: number;
  readonly end: number;
}

/** A text and the name of the file it came from; turns offsets into lines and columns. */
export class SourceText {
  readonly text: string;
  readonly file: string;
  /** Offset at which each line starts, ascending. */
  readonly #lineStarts: readonly number[];

  constructor(text: string, file: string) {
    this.text = text;
    this.file = file;
    const starts = [0];
    for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) starts.push(at + 1);
    this.#lineStarts = starts;
  }

  /** Line of an offset, counted from 1. */
  lineAt(offset: number): number {
    let low = 0;
    let high = this.#lineStarts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((this.#lineStarts[middle] ?? 0) <= offset) low = middle;
      else high = middle - 1;
    }
    return low + 1;
  }

  /** The line without its line break; `''` past the end. */
  line(number: number): string {
    const start = this.#lineStarts[number - 1];
    if (start === undefined) return '';
    const end = (this.#lineStarts[number] ?? this.text.length + 1) - 1;
    const windows = end > start && this.text.charCodeAt(end - 1) === 13;
    return this.text.slice(start, windows ? end - 1 : end);
  }

  /** A span that runs over several lines is cut at the end of its first. */
  place(spot: Spot): Place {
    const line = this.lineAt(spot.start);
    const start = this.#lineStarts[line - 1] ?? 0;
    const text = this.line(line);
    const column = spot.start - start + 1;
    const endColumn = Math.max(column + 1, Math.min(spot.end - start, text.length) + 1);
    const before = line > 1 ? { textBefore: this.line(line - 1) } : {};
    return { file: this.file, line, column, endColumn, text, ...before };
  }
}
