import type { Diagnostic } from './diagnostic.ts';
import type { SourceText, Spot } from './source-text.ts';

/** What is wrong and how to mend it, before it has a place. */
export interface Complaint {
  readonly code: string;
  readonly message: string;
  readonly hint?: string | undefined;
}

/** Collects everything found in one text, so that all of it can be reported at once. */
export class Findings {
  readonly source: SourceText;
  readonly #errors: Diagnostic[] = [];
  readonly #warnings: Diagnostic[] = [];

  constructor(source: SourceText) {
    this.source = source;
  }

  error(spot: Spot, complaint: Complaint): void {
    this.#errors.push(this.#diagnostic('error', spot, complaint));
  }

  warning(spot: Spot, complaint: Complaint): void {
    this.#warnings.push(this.#diagnostic('warning', spot, complaint));
  }

  /** In file order. */
  errors(): readonly Diagnostic[] {
    return this.#errors.toSorted(byPlace);
  }

  /** In file order. */
  warnings(): Diagnostic[] {
    return this.#warnings.toSorted(byPlace);
  }

  #diagnostic(severity: 'error' | 'warning', spot: Spot, complaint: Complaint): Diagnostic {
    const { code, message, hint } = complaint;
    const place = this.source.place(spot);
    return { code, severity, message, place, ...(hint === undefined ? {} : { hint }) };
  }
}

/** Orders by line, then column; things without a place come first. */
export function byPlace(a: Diagnostic, b: Diagnostic): number {
  const line = (a.place?.line ?? 0) - (b.place?.line ?? 0);
  return line !== 0 ? line : (a.place?.column ?? 0) - (b.place?.column ?? 0);
}
