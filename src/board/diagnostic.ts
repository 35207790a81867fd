/** One thing wrong with what a person gave us, where it is, and how to mend it. */
export interface Diagnostic {
  /** Stable, upper case: `UNKNOWN_NET`. */
  readonly code: string;
  readonly severity: 'error' | 'warning';
  /** What is wrong, quoting the person's own word. */
  readonly message: string;
  readonly place?: Place;
  /** How to mend it: `did you mean "P48"?`. */
  readonly hint?: string;
}

/** A span of one line; line and columns count from 1, `endColumn` is one past the last. */
export interface Place {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly endColumn: number;
  /** The whole line, for the frame with the caret. */
  readonly text?: string;
  /** The line before it, shown as well when the mark stands in indentation. */
  readonly textBefore?: string;
}

/** Thrown for bad input of every kind; carries all that was found, in file order. */
export class InputError extends Error {
  readonly diagnostics: readonly Diagnostic[];
  constructor(diagnostics: readonly Diagnostic[]) {
    super(diagnostics.map((d) => d.message).join('\n'));
    this.name = 'InputError';
    this.diagnostics = diagnostics;
  }
}
