import {
  isMap,
  isScalar,
  isSeq,
  type Node,
  type Pair,
  parseDocument,
  type YAMLMap,
  type YAMLSeq,
} from 'yaml';
import { VALUE_KEYS } from './growth.ts';
import { writeQuantity } from './import/value-text.ts';
import { loadBoard } from './load.ts';
import type { Board, Part } from './model.ts';
import { yamlScalar } from './yaml-scalar.ts';

/** One place of a text that is written anew: from `start` up to `end`, not included. */
interface Edit {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/**
 * The text of a board file with the parts, pins and values of `after` written in. Only the entries of
 * parts that differ are touched; comments, order and layout of all others stay as they are.
 * @param before what the text holds, as `loadBoard` gives it
 * @throws {InputError} when what is to be written does not fit the rest of the file
 */
export function writeInto(text: string, before: Board, after: Board): string {
  const differing = after.parts.filter((part) => differs(before, after, part));
  if (differing.length === 0) return text;
  const document = parseDocument(text, { schema: 'failsafe', logLevel: 'silent' });
  const root = document.contents;
  if (!isMap(root)) throw new Error('a board file that was read is a map');
  const file = { text, root, eol: text.includes('\r\n') ? '\r\n' : '\n' };
  const known = differing.filter(({ name }) => before.partNamed.has(name));
  const fresh = differing.filter(({ name }) => !before.partNamed.has(name));
  const edits = [
    ...known.flatMap((part) => editKnown(file, before, after, part)),
    ...addTo(
      file,
      'parts',
      fresh.filter(({ kind }) => !kind.link),
      after,
    ),
    ...addTo(
      file,
      'jumpers',
      fresh.filter(({ kind }) => kind.link),
      after,
    ),
  ];
  const written = applied(text, edits);
  check(written, before.file, after);
  return written;
}

interface File {
  readonly text: string;
  readonly root: YAMLMap;
  readonly eol: string;
}

const netsOf = (board: Board, part: Part): string[] =>
  part.pins.map(
    (pin) => `${board.pins[pin]?.name} ${board.nets[board.pins[pin]?.net ?? -1]?.name}`,
  );

function differs(before: Board, after: Board, part: Part): boolean {
  const was = before.partNamed.get(part.name);
  if (was === undefined) return true;
  const isSame =
    was.kind.name === part.kind.name &&
    was.text === part.text &&
    VALUE_KEYS.every((key) => was[key] === part[key]) &&
    was.guesses.join('\n') === part.guesses.join('\n');
  return !isSame || netsOf(before, was).join('\n') !== netsOf(after, part).join('\n');
}

/** The written file must hold just what the board has, or it is not written at all. */
function check(written: string, file: string, after: Board): void {
  const { board } = loadBoard(written, file);
  const isSame =
    board.parts.length === after.parts.length &&
    after.parts.every((part) => !differs(board, after, part));
  if (!isSame) throw new Error('the written board file does not hold what was seen');
}

function applied(text: string, edits: readonly Edit[]): string {
  // From the end on; what goes at a place goes before anything is put there.
  const inOrder = edits.toSorted((a, b) => b.start - a.start || b.end - a.end);
  let result = text;
  for (const { start, end, text: fresh } of inOrder) {
    result = result.slice(0, start) + fresh + result.slice(end);
  }
  return result;
}

function entryIn(root: YAMLMap, section: string, name: string): Node | null | undefined {
  const map = root.get(section);
  return isMap(map) ? pairOf(map, name)?.value : undefined;
}

/** Places in an entry that is there already. */
function editKnown(file: File, before: Board, after: Board, part: Part): Edit[] {
  const node = entryIn(file.root, 'parts', part.name) ?? entryIn(file.root, 'jumpers', part.name);
  const was = before.partNamed.get(part.name);
  if (was === undefined || (!isMap(node) && !isSeq(node))) {
    throw new Error('a part that was read has an entry');
  }
  // A jumper in its short form is its list of nets.
  if (isSeq(node)) {
    if (part.ohms === was.ohms && part.volts === was.volts)
      return moveNets(file, node, netNames(after, part));
    return [{ ...spanOf(file, node), text: longJumper(part, after) }];
  }
  return [
    ...(was.kind.name === part.kind.name
      ? []
      : put(file, node, 'kind', yamlScalar(part.kind.name))),
    ...VALUE_KEYS.flatMap((key) => {
      const value = part[key];
      if (value === was[key]) return [];
      return value === undefined
        ? drop(file, node, key)
        : put(file, node, key, writeQuantity(value));
    }),
    ...(was.text === part.text ? [] : put(file, node, 'text', yamlScalar(part.text ?? ''))),
    ...guessEdits(file, node, was, part),
    ...pinEdits(file, node, before, after, part),
  ];
}

function guessEdits(file: File, node: YAMLMap, was: Part, { guesses }: Part): Edit[] {
  if (was.guesses.join('\n') === guesses.join('\n')) return [];
  return guesses.length === 0
    ? drop(file, node, 'guess')
    : put(file, node, 'guess', flowList(guesses));
}

function pinEdits(file: File, node: YAMLMap, before: Board, after: Board, part: Part): Edit[] {
  const was = before.partNamed.get(part.name) ?? part;
  if (netsOf(before, was).join('\n') === netsOf(after, part).join('\n')) return [];
  const key = node.has('nets') && !node.has('pins') ? 'nets' : 'pins';
  const pins = node.get(key);
  const [old, names] = [pinNames(before, was), pinNames(after, part)];
  const nets = netNames(after, part);
  if (old.join('\n') !== names.join('\n') || (!isMap(pins) && !isSeq(pins))) {
    return put(file, node, key, flowPins(names, nets));
  }
  return moveNets(file, pins, nets);
}

/** Other nets at the places of those that are there; both in the order of the part's pins. */
function moveNets(file: File, pins: YAMLMap | YAMLSeq, nets: readonly string[]): Edit[] {
  return pins.items.flatMap((item, i) => {
    const at = isSeq(pins) ? item : (item as Pair<unknown, unknown>).value;
    const net = nets[i];
    if (net === undefined || !isScalar(at) || at.value === net) return [];
    return [{ ...spanOf(file, at as Node), text: yamlScalar(net) }];
  });
}

function pairOf(node: YAMLMap, key: string): Pair<Node, Node> | undefined {
  const pair = node.items.find((item) => isScalar(item.key) && item.key.value === key);
  return pair as Pair<Node, Node> | undefined;
}

/** A value in its place; a new one behind the kind, where people write it. */
function put(file: File, node: YAMLMap, key: string, text: string): Edit[] {
  const pair = pairOf(node, key);
  if (pair?.value) return [{ ...spanOf(file, pair.value), text }];
  const kind = pairOf(node, 'kind') ?? (node.items.at(-1) as Pair<Node, Node> | undefined);
  if (!kind?.value) throw new Error('a part that was read has a kind');
  const { end } = spanOf(file, kind.value);
  if (node.flow) return [{ start: end, end, text: `, ${key}: ${text}` }];
  const indent = ' '.repeat(columnOf(file, spanOf(file, kind.key).start));
  const at = lineEnd(file, end);
  return [{ start: at, end: at, text: `${file.eol}${indent}${key}: ${text}` }];
}

function drop(file: File, node: YAMLMap, key: string): Edit[] {
  const at = node.items.findIndex((item) => isScalar(item.key) && item.key.value === key);
  const pair = node.items[at] as Pair<Node, Node> | undefined;
  if (!pair?.value) return [];
  const [from, to] = [spanOf(file, pair.key).start, spanOf(file, pair.value).end];
  if (!node.flow) {
    // Its own line, break and all.
    const start = file.text.lastIndexOf('\n', from - 1);
    return [{ start, end: lineBreak(file, to), text: '' }];
  }
  const before = node.items[at - 1] as Pair<Node, Node> | undefined;
  if (before?.value) return [{ start: spanOf(file, before.value).end, end: to, text: '' }];
  const next = node.items[at + 1] as Pair<Node, Node> | undefined;
  return [{ start: from, end: next ? spanOf(file, next.key).start : to, text: '' }];
}

/** Where a node stands, without what follows it. */
function spanOf({ text }: File, node: Node): { start: number; end: number } {
  const [start, end] = node.range ?? [0, 0];
  return { start, end: start + text.slice(start, end).trimEnd().length };
}

const columnOf = ({ text }: File, at: number): number => at - (text.lastIndexOf('\n', at - 1) + 1);

/** Where the last letter of a line ends. */
function lineEnd({ text, eol }: File, from: number): number {
  const at = text.indexOf(eol, from);
  return at < 0 ? text.length : at;
}

/** The line break itself, without a carriage return before it: what stays on the line before keeps its own. */
function lineBreak({ text }: File, from: number): number {
  const at = text.indexOf('\n', from);
  return at < 0 ? text.length : at;
}

const pinNames = (board: Board, part: Part): string[] =>
  part.pins.map((pin) => board.pins[pin]?.name ?? '');

const netNames = (board: Board, part: Part): string[] =>
  part.pins.map((pin) => board.nets[board.pins[pin]?.net ?? -1]?.name ?? '');

/** New entries behind the last one of a section, or in a section of their own at the end. */
function addTo(file: File, section: string, parts: readonly Part[], after: Board): Edit[] {
  if (parts.length === 0) return [];
  const { text, root, eol } = file;
  const entries = parts.map((part) => entryText(part, after));
  const map = root.get(section);
  if (isMap(map) && map.items.length > 0) return [addBehind(file, map, entries)];
  if (isMap(map)) {
    const [start, end] = map.range ?? [0, 0];
    return [{ start, end, text: `{${entries.join(', ')}}` }];
  }
  if (root.flow) {
    const close = lastBrace(text, root);
    return [{ start: close, end: close, text: `, ${section}: {${entries.join(', ')}}` }];
  }
  const [, end = text.length] = root.range ?? [];
  const lead = text.slice(0, end).endsWith('\n') ? '' : eol;
  const body = [`${section}:`, ...entries.map((entry) => `  ${entry}`)].join(eol);
  return [{ start: end, end, text: `${lead}${eol}${body}${eol}` }];
}

function addBehind(file: File, map: YAMLMap, entries: readonly string[]): Edit {
  const { text, eol } = file;
  if (map.flow) {
    const close = lastBrace(text, map);
    return { start: close, end: close, text: `, ${entries.join(', ')}` };
  }
  const pairs = map.items as Pair<Node, Node>[];
  const [first, last] = [pairs[0], pairs.at(-1)];
  if (first === undefined || last === undefined) throw new Error('the section has entries');
  const indent = ' '.repeat(columnOf(file, spanOf(file, first.key).start));
  const end = lineBreak(file, spanOf(file, last.value ?? last.key).end);
  const lines = entries.map((entry) => indent + entry).join(eol);
  if (end === text.length) return { start: end, end, text: `${eol}${lines}${eol}` };
  return { start: end + 1, end: end + 1, text: `${lines}${eol}` };
}

/** Where a map in braces closes. */
function lastBrace(text: string, map: YAMLMap): number {
  const end = map.range?.[1] ?? text.length;
  return text.lastIndexOf('}', end - 1);
}

function entryText(part: Part, after: Board): string {
  const nets = netNames(after, part);
  if (part.kind.link) return `${yamlScalar(part.name)}: ${flowList(nets)}`;
  const values = VALUE_KEYS.flatMap((key) => {
    const value = part[key];
    return value === undefined ? [] : [`${key}: ${writeQuantity(value)}`];
  });
  const guess = part.guesses.length === 0 ? [] : [`guess: ${flowList(part.guesses)}`];
  const text = part.text === undefined ? [] : [`text: ${yamlScalar(part.text)}`];
  const fields = [
    `kind: ${yamlScalar(part.kind.name)}`,
    ...values,
    `pins: ${flowPins(pinNames(after, part), nets)}`,
    ...text,
    ...guess,
  ];
  return `${yamlScalar(part.name)}: {${fields.join(', ')}}`;
}

/** A jumper with more to tell than its nets. */
function longJumper(part: Part, after: Board): string {
  const values = VALUE_KEYS.flatMap((key) => {
    const value = part[key];
    return value === undefined ? [] : [`, ${key}: ${writeQuantity(value)}`];
  });
  return `{nets: ${flowList(netNames(after, part))}${values.join('')}}`;
}

const flowPins = (names: readonly string[], nets: readonly string[]): string =>
  `{${names.map((name, i) => `${yamlScalar(name)}: ${yamlScalar(nets[i] ?? '')}`).join(', ')}}`;

const flowList = (texts: readonly string[]): string => `[${texts.map(yamlScalar).join(', ')}]`;
