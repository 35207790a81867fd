import { columnsOf as cells } from '../board/shown-text.ts';

/** A blank that {@link wrap} does not break at; it prints as a plain one. */
export const GLUE = '\u00a0';

/** Breaks text at blanks into lines of at most `width` columns; a longer word is cut. */
export function wrap(text: string, width: number): string[] {
  return wrapGlued(text, width).map(unglued);
}

/**
 * Wraps text behind a label: the first line starts with the label, the others are indented by
 * `indent` columns. A label longer than the indent pushes only its own line.
 */
export function labelled(label: string, text: string, indent: number, width: number): string[] {
  const start = label === '' ? '' : `${label.replaceAll(GLUE, ' ')} `;
  const head = start + ' '.repeat(Math.max(0, indent - cells(start)));
  const room = Math.max(10, width - indent);
  // The glue stays until the lines are final: what follows the first is wrapped once more.
  const first = wrapGlued(text, Math.max(10, width - cells(head)));
  const [line = '', ...rest] = first;
  const tail = rest.length === 0 ? [] : wrap(rest.join(' '), room);
  return [head + unglued(line), ...tail.map((each) => ' '.repeat(indent) + each)].map((l) =>
    l.trimEnd(),
  );
}

function wrapGlued(text: string, width: number): string[] {
  return text.split('\n').flatMap((paragraph) => wrapParagraph(paragraph, width));
}

function unglued(line: string): string {
  return line.replaceAll(GLUE, ' ');
}

function wrapParagraph(text: string, width: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/ +/)) {
    const joined = line === '' ? word : `${line} ${word}`;
    if (cells(joined) <= width) {
      line = joined;
      continue;
    }
    if (line !== '') lines.push(line);
    const pieces = cut(word, width);
    line = pieces.pop() ?? '';
    lines.push(...pieces);
  }
  lines.push(line);
  return lines;
}

function cut(word: string, width: number): string[] {
  const pieces: string[] = [];
  let piece = '';
  for (const char of word) {
    if (cells(piece + char) > width && piece !== '') {
      pieces.push(piece);
      piece = '';
    }
    piece += char;
  }
  return [...pieces, piece];
}
