/** Takes a readings file apart into lines of the notation, each with its place. */
import { isMap, isScalar, isSeq, LineCounter, type Node, Parser, parseDocument } from 'yaml';
import { type Diagnostic, InputError } from '../board/diagnostic.ts';
import type { Board } from '../board/model.ts';
import { nestsTooDeep } from '../board/yaml-nesting.ts';
import type { SayPlace } from '../job/words.ts';

/** One line of the notation in a file. */
export interface Entry {
  readonly text: string;
  readonly place: SayPlace & { readonly text: string };
}

/**
 * Plain lines, or a YAML list when the first line that says anything starts with `- ` or `[`.
 * @throws {InputError} when the list is no YAML list of texts
 */
export function entriesOf(
  text: string,
  file: string,
  board?: Board,
): { form: 'lines' | 'list'; entries: Entry[] } {
  const first = firstLine(text);
  const isFlow = first.trimStart().startsWith('[') && text.trimEnd().endsWith(']');
  if (/^\s*-(?:\s|$)/u.test(first) || isFlow) return { form: 'list', entries: listOf(text, file) };
  const lines = text.split('\n').map((line) => line.replace(/\r$/u, ''));
  const entries = lines.flatMap((line, at) =>
    entryOf(line, { file, line: at + 1, text: line }, board),
  );
  return { form: 'lines', entries };
}

/** The first line that is neither blank nor a comment nor the mark of a YAML document. */
export function firstLine(text: string): string {
  return text.split('\n').find((line) => !/^\s*(?:#|---|$)/u.test(line)) ?? '';
}

function entryOf(line: string, place: Entry['place'], board: Board | undefined): Entry[] {
  const said = withoutComment(line, board);
  const text = said.trim();
  const column = said.length - said.trimStart().length + 1;
  return text === '' ? [] : [{ text, place: { ...place, column } }];
}

/** What a person said word for word keeps its marks. */
const FREE_TEXT: ReadonlySet<string> = new Set([
  'note',
  'customer',
  'arrived',
  'marking',
  'technician',
]);

/** A net may hold or start with `#`, so a mark that is a net's name starts no comment. */
function withoutComment(line: string, board: Board | undefined): string {
  const [head = ''] = line.trim().split(/\s+/u);
  if (head.startsWith('#')) return board?.netNamed.has(head) === true ? line : '';
  if (FREE_TEXT.has(head.toLowerCase()) || board?.netNamed.has('#') === true) return line;
  return line.replace(/\s#(?:\s.*)?$/u, '');
}

/** One open bracket spoils all that follows. */
const MOST_FAULTS = 20;

function listOf(text: string, file: string): Entry[] {
  const counter = new LineCounter();
  if (nestsTooDeep(text, (all) => new Parser().parse(all))) {
    throw new InputError([fault('NOT_YAML', 'nested too deeply', { file, line: 1, text: '' })]);
  }
  const document = parseDocument(text, {
    lineCounter: counter,
    schema: 'failsafe',
    logLevel: 'silent',
    // A frame of its own for each error takes the square of their number.
    prettyErrors: false,
    // So does the search for keys that are there twice, which no item has a use for.
    uniqueKeys: false,
  });
  const lines = text.split('\n').map((line) => line.replace(/\r$/u, ''));
  const faults: Diagnostic[] = document.errors.slice(0, MOST_FAULTS).map((error) => {
    const { line, col } = counter.linePos(error.pos[0]);
    const message = error.message.split('\n')[0]?.replace(/ at line \d+.*$/u, '') ?? 'not YAML';
    return fault('NOT_YAML', message, { file, line, column: col, text: lines[line - 1] ?? '' });
  });
  const { contents } = document;
  if (faults.length > 0) throw new InputError(faults);
  if (!isSeq(contents)) {
    throw new InputError([
      fault('NOT_A_LIST', 'this is no YAML list', { file, line: 1, text: lines[0] ?? '' }),
    ]);
  }
  const entries = contents.items.flatMap((item) => {
    const node = item as Node;
    const at = node.range?.[0] ?? 0;
    const { line, col } = counter.linePos(at);
    const place = { file, line, column: col, text: lines[line - 1] ?? '' };
    const said = textOf(node, text);
    if (said === undefined)
      faults.push(fault('NOT_A_TEXT', 'this item is not one line of text', place));
    const isQuoted = /["']/u.test(text[at] ?? '');
    return said === undefined
      ? []
      : [{ text: said, place: { ...place, column: col + (isQuoted ? 1 : 0) } }];
  });
  if (faults.length > 0) throw new InputError(faults);
  return entries;
}

/** `off Q3: D S beep` without quotes is a map to YAML and a line of the notation to a person. */
function textOf(node: Node, source: string): string | undefined {
  if (isScalar(node) && typeof node.value === 'string' && !node.value.includes('\n')) {
    return node.value;
  }
  const isPlainMap = isMap(node) && node.flow !== true && node.items.length === 1;
  const [start, end] = node.range ?? [0, 0];
  const said = source.slice(start, end).trim();
  return isPlainMap && !said.includes('\n') ? said : undefined;
}

function fault(code: string, message: string, at: SayPlace & { text: string }): Diagnostic {
  const column = at.column ?? 1;
  const endColumn = Math.max(column + 1, at.text.length + 1);
  const place = { file: at.file, line: at.line, column, endColumn, text: at.text };
  return {
    code,
    severity: 'error',
    message,
    place,
    hint: 'write one line of the notation an item: - P48 GND beep',
  };
}
