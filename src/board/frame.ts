import type { Diagnostic, Place } from './diagnostic.ts';
import { columnsOf, harmless } from './shown-text.ts';

/** Columns of a source line that are shown where there is room; longer lines are cut round the mark. */
const MOST_COLUMNS = 96;
/** A narrow terminal has that many for it at least. */
const LEAST_COLUMNS = 24;
/** ` | `, and the mark for what is cut away. */
const SEPARATOR = 3;
const ELLIPSIS = 1;
/** Characters looked at on either side of the mark; a line may hold a million. */
const MOST_CHARACTERS = 400;
/** Columns kept before the mark when a line is cut at its beginning. */
const LEAD_COLUMNS = 30;

/**
 * One diagnostic as plain text of several lines: where and what, the line with a caret under the
 * words meant, and how to mend it. No line break at the end; no colour.
 */
export function renderDiagnostic(d: Diagnostic): string {
  return renderWithin(d, Number.POSITIVE_INFINITY);
}

/**
 * The same at a narrow terminal.
 * @param columns that the lines with the caret keep to; the words are left to whoever prints them
 */
export function renderWithin(d: Diagnostic, columns: number): string {
  const { place } = d;
  const where = place ? `${harmless(place.file)}:${place.line}:${place.column}: ` : '';
  const lines = [`${where}${d.severity}[${d.code}] ${harmless(d.message)}`];
  if (place?.text !== undefined && place.text !== '')
    lines.push(...frame(place, place.text, columns));
  if (d.hint !== undefined) lines.push(`  ${harmless(d.hint)}`);
  return lines.join('\n');
}

function frame(place: Place, line: string, columns: number): string[] {
  const width = Math.max(4, String(place.line).length + 2);
  const gutter = (label: string): string => label.padStart(width);
  const skipped = Math.max(0, place.column - 1 - MOST_CHARACTERS);
  const text = line.slice(skipped, place.column + MOST_CHARACTERS);
  const start = place.column - 1 - skipped;
  const end = Math.max(start + 1, place.endColumn - 1 - skipped);
  const before = columnsOf(text.slice(0, start));
  const marked = columnsOf(text.slice(start, end), before) || 1;
  const room = columns - width - SEPARATOR - 2 * ELLIPSIS;
  const most = Math.max(LEAST_COLUMNS, Math.min(MOST_COLUMNS, room));
  const view = cut(shown(text), before, marked, most);
  const lines: string[] = [];
  const { textBefore } = place;
  // The mark may be all there is on the line: an indented word needs its parent to make sense.
  if (textBefore?.trim() && start > 0 && text.slice(0, start).trim() === '') {
    const parent = cut(shown(textBefore.slice(0, MOST_CHARACTERS)), 0, 1, most);
    lines.push(`${gutter(String(place.line - 1))} | ${parent.text}`);
  }
  lines.push(`${gutter(String(place.line))} | ${view.text}`);
  lines.push(`${gutter('')} | ${' '.repeat(view.column)}${'^'.repeat(view.width)}`);
  return lines.map((line) => line.trimEnd());
}

/** Expands tabs and takes the teeth out of control characters, one display column at a time. */
function shown(text: string): string {
  let out = '';
  let column = 0;
  for (const character of text) {
    const piece = character === '\t' ? ' '.repeat(8 - (column % 8)) : harmless(character);
    out += piece;
    column += columnsOf(character, column);
  }
  return out;
}

interface View {
  readonly text: string;
  /** Column of the mark in `text`, from 0, and how many columns it covers. */
  readonly column: number;
  readonly width: number;
}

/** Cuts a line to the columns about the mark, `…` standing for what is gone. */
function cut(text: string, column: number, width: number, most: number): View {
  const total = columnsOf(text);
  if (total <= most) return { text, column, width };
  const wanted = Math.max(0, column - Math.min(LEAD_COLUMNS, Math.floor(most / 3)));
  const from = Math.min(wanted, total - most);
  const { text: slice, start } = columnSlice(text, from, from + most);
  const head = start > 0 ? '…' : '';
  const tail = from + most < total ? '…' : '';
  const at = column - start + head.length;
  const room = most + head.length - at;
  return { text: `${head}${slice}${tail}`, column: at, width: Math.max(1, Math.min(width, room)) };
}

/** The characters that lie wholly within a range of columns, and the column the first stands at. */
function columnSlice(text: string, from: number, to: number): { text: string; start: number } {
  let column = 0;
  let start = -1;
  let out = '';
  for (const character of text) {
    const next = column + columnsOf(character, column);
    if (column >= from && next <= to) {
      if (start < 0) start = column;
      out += character;
    }
    column = next;
  }
  return { text: out, start: Math.max(start, 0) };
}
