import type { Diagnostic } from '../board/diagnostic.ts';
import { renderDiagnostic } from '../board/frame.ts';
import type { Context } from './context.ts';
import { shownLines } from './shown.ts';

/** Diagnostics for a person, each with its frame, on stderr. */
export function printDiagnostics(context: Context, diagnostics: readonly Diagnostic[]): void {
  if (diagnostics.length === 0) return;
  const shown = diagnostics.slice(0, 20).map(renderDiagnostic);
  const more = diagnostics.length - shown.length;
  if (more > 0) shown.push(`… and ${more} more`);
  context.stderr.write(`${shownLines(context, context.stderr, shown)}\n`);
}

/** Diagnostics for a program: every field but the lines' own text. */
export function diagnosticDocuments(diagnostics: readonly Diagnostic[]): unknown[] {
  return diagnostics.map(({ place, ...rest }) => {
    if (place === undefined) return rest;
    const { text: _text, textBefore: _before, ...where } = place;
    return { ...rest, place: where };
  });
}
