import { harmless } from '../board/shown-text.ts';
import { type Context, wantsColour } from './context.ts';

/** The marks of our own palettes (`colour.ts`): bold, dim, colours, and their ends. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: marks are made of them.
const OWN_MARKS = /(\u001b\[(?:1|2|22|31|35|39|38;5;\d{1,3})m)/;

/**
 * The last gate before a terminal: names and texts were made harmless where views were made, file names
 * and what slipped through are here. Line breaks stay, and the marks of our own colours where there are any.
 */
export function shownLines(
  context: Context,
  stream: NodeJS.WriteStream,
  lines: readonly string[],
): string {
  const hasMarks = wantsColour(context, stream);
  return lines
    .flatMap((line) => line.split('\n'))
    .map((line) => shownLine(line, hasMarks))
    .join('\n');
}

function shownLine(line: string, hasMarks: boolean): string {
  if (!/[^ -~]/.test(line)) return line;
  // A table for other programs ends its lines as RFC 4180 says.
  const end = line.endsWith('\r') ? '\r' : '';
  const body = end === '' ? line : line.slice(0, -1);
  if (!hasMarks) return harmless(body) + end;
  const pieces = body.split(OWN_MARKS);
  return pieces.map((piece, index) => (index % 2 === 1 ? piece : harmless(piece))).join('') + end;
}

/** JSON for a terminal or a program: what JSON lets through raw and a terminal obeys is escaped as well. */
export function shownJson(value: unknown): string {
  return JSON.stringify(value, null, 2).replace(
    /[\u007f-\u009f\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]/gu,
    (letter) => `\\u${letter.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}
