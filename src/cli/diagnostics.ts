import type { Diagnostic } from '../board/diagnostic.ts';
import { renderDiagnostic, renderWithin } from '../board/frame.ts';
import { usableWidth } from '../report/style.ts';
import { wrap } from '../report/wrap.ts';
import type { Context } from './context.ts';
import { shownLines } from './shown.ts';

/** Diagnostics for a person, each with its frame, on stderr. */
export function printDiagnostics(context: Context, diagnostics: readonly Diagnostic[]): void {
  if (diagnostics.length === 0) return;
  const shown = diagnostics.slice(0, 20).map((each) => told(each, widthOf(context.stderr)));
  const more = diagnostics.length - shown.length;
  if (more > 0) shown.push(`… and ${more} more`);
  context.stderr.write(`${shownLines(context, context.stderr, shown)}\n`);
}

/** Columns of a terminal; elsewhere lines stay whole, for programs to read. */
function widthOf(stream: NodeJS.WriteStream): number | undefined {
  return stream.isTTY ? usableWidth(stream.columns) : undefined;
}

/** At a terminal the words are broken between words; the lines with the caret are made to fit. */
function told(diagnostic: Diagnostic, width: number | undefined): string {
  if (width === undefined) return renderDiagnostic(diagnostic);
  const lines = renderWithin(diagnostic, width).split('\n');
  return lines.flatMap((line) => (FRAME.test(line) ? line : broken(line, width))).join('\n');
}

const FRAME = /^ *\d* \|/;

/** What goes on from the first line stands as far in as the hint. */
function broken(line: string, width: number): string[] {
  const [first = '', ...rest] = wrap(line.trim(), width - INDENT.length);
  const isHint = line.startsWith(INDENT);
  return [isHint ? INDENT + first : first, ...rest.map((each) => INDENT + each)];
}

const INDENT = '  ';

/** Diagnostics for a program: every field but the lines' own text. */
export function diagnosticDocuments(diagnostics: readonly Diagnostic[]): unknown[] {
  return diagnostics.map(({ place, ...rest }) => {
    if (place === undefined) return rest;
    const { text: _text, textBefore: _before, ...where } = place;
    return { ...rest, place: where };
  });
}
