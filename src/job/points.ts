/** Names of parts, pins and nets, turned into board numbers and back. */

import type { Diagnostic } from '../board/diagnostic.ts';
import { InputError } from '../board/diagnostic.ts';
import type { Board, Net, Part, Pin } from '../board/model.ts';
import { nearest } from '../board/nearest.ts';
import type { Point } from '../circuit/reading.ts';
import { type Line, lineOf, problem, splitWords, type Word } from './words.ts';

/** A name that was found, or what is wrong with it. */
export type Found<T> = { readonly ok: T } | { readonly fault: Diagnostic };

interface Fault {
  readonly code: string;
  readonly message: string;
  readonly hint?: string | undefined;
}

/** The part of that name: exact letters first, then any letter case if only one part fits. */
export function findPart(board: Board, line: Line, word: Word): Found<Part> {
  const found = board.partNamed.get(word.text) ?? onlyOne(board.parts, word.text);
  if (found !== undefined) return { ok: found };
  const asPin = pinByName(board, word.text);
  const meant = asPin?.part ?? nearest(word.text, board.partNamed.keys());
  const name = typeof meant === 'number' ? board.parts[meant]?.name : meant;
  const fault = {
    code: 'UNKNOWN_PART',
    message: `no part is called "${word.text}"`,
    hint: didYouMean(name),
  };
  return { fault: problem(line, [word], fault) };
}

/** The pin `PART.PIN`; a pin may go by the kind's other spellings, `Q3.drain`. */
export function findPin(board: Board, line: Line, word: Word): Found<Pin> {
  const pin = pinByName(board, word.text);
  if (pin !== undefined) return { ok: pin };
  return { fault: problem(line, [word], pinFault(board, word.text)) };
}

/** A pin of one part, by its bare name or as `PART.PIN`. */
export function findLeg(board: Board, line: Line, part: Part, word: Word): Found<Pin> {
  const pin = pinByName(board, word.text);
  const bare = pinOfPart(board, part, word.text);
  if (bare !== undefined) return { ok: bare };
  if (pin !== undefined && pin.part === part.index) return { ok: pin };
  const names = pinNames(board, part);
  const fault = {
    code: 'UNKNOWN_PIN',
    message: `${part.name} has no pin "${word.text}"`,
    hint: didYouMean(nearest(word.text, names)) ?? `its pins are ${listed(names)}`,
  };
  return { fault: problem(line, [word], fault) };
}

/** The net of that name, or the net of a pin or of a named probe place. */
export function findNet(board: Board, line: Line, word: Word): Found<Net> {
  const point = findPoint(board, line, word);
  if ('fault' in point) return point;
  const net = board.nets[point.ok.net];
  return net === undefined
    ? { fault: problem(line, [word], pointFault(board, word.text)) }
    : { ok: net };
}

/** A net, a pin (its pad), or a probe place the board file names. Exact letters go first. */
export function findPoint(board: Board, line: Line, word: Word): Found<Point> {
  const point = pointByName(board, word.text);
  if (point !== undefined) return { ok: point };
  return { fault: problem(line, [word], pointFault(board, word.text)) };
}

/**
 * A point by its name alone.
 * @throws {InputError} when the board has no such point
 */
export function parsePoint(board: Board, text: string): Point {
  const line = lineOf(text);
  const [word = { text: '', column: 0 }] = splitWords(text);
  const found = findPoint(board, line, word);
  if ('fault' in found) throw new InputError([found.fault]);
  return found.ok;
}

/** `P48` or `Q3.D`. */
export function printPoint(board: Board, point: Point): string {
  if (point.pin !== undefined) return printPin(board, point.pin);
  return board.nets[point.net]?.name ?? `?${point.net}`;
}

/** `Q3.D`. */
export function printPin(board: Board, index: number): string {
  const pin = board.pins[index];
  const part = pin === undefined ? undefined : board.parts[pin.part];
  return `${part?.name ?? '?'}.${pin?.name ?? index}`;
}

/** `Q3`. */
export function partName(board: Board, part: number): string {
  return board.parts[part]?.name ?? `?${part}`;
}

/** Up to eight names with commas, and how many were left out. */
export function listed(names: readonly string[]): string {
  const shown = names.slice(0, 8).join(', ');
  return names.length > 8 ? `${shown} and ${names.length - 8} more` : shown;
}

/** All pin names of a part, in file order. */
export function pinNames(board: Board, part: Part): string[] {
  return part.pins.map((index) => board.pins[index]?.name ?? '');
}

function pointByName(board: Board, text: string): Point | undefined {
  const net = board.netNamed.get(text);
  if (net !== undefined) return { net: net.index };
  const pin = pinByName(board, text);
  if (pin !== undefined) return { net: pin.net, pin: pin.index };
  // A test point is a part with one pin, and goes by its name alone.
  const [only, ...more] = board.partNamed.get(text)?.pins ?? [];
  const pad = more.length > 0 || only === undefined ? undefined : board.pins[only];
  if (pad !== undefined) return { net: pad.net, pin: pad.index };
  const place = board.nets.filter((candidate) => candidate.points.includes(text));
  const loose = place.length === 1 ? place[0] : onlyOne(board.nets, text);
  return loose === undefined ? undefined : { net: loose.index };
}

function pinByName(board: Board, text: string): Pin | undefined {
  // Part names hold no dot, pin names may.
  const dot = text.indexOf('.');
  if (dot <= 0) return undefined;
  const name = text.slice(0, dot);
  const part = board.partNamed.get(name) ?? onlyOne(board.parts, name);
  return part === undefined ? undefined : pinOfPart(board, part, text.slice(dot + 1));
}

function pinOfPart(board: Board, part: Part, name: string): Pin | undefined {
  const pins = part.pins.flatMap((index) => board.pins[index] ?? []);
  const exact = pins.find((pin) => pin.name === name);
  if (exact !== undefined) return exact;
  const alias = part.kind.pinAliases.get(name) ?? part.kind.pinAliases.get(name.toLowerCase());
  return pins.find((pin) => pin.name === alias) ?? onlyOne(pins, name);
}

function onlyOne<T extends { readonly name: string }>(
  things: readonly T[],
  name: string,
): T | undefined {
  const wanted = name.toLowerCase();
  const found = things.filter((thing) => thing.name.toLowerCase() === wanted);
  return found.length === 1 ? found[0] : undefined;
}

function pointFault(board: Board, text: string): Fault {
  const part = board.partNamed.get(text) ?? onlyOne(board.parts, text);
  if (part !== undefined) {
    const pins = part.pins.map((index) => printPin(board, index));
    const message = `"${text}" is a part; a probe goes on one of its pins`;
    return { code: 'PART_AS_POINT', message, hint: `write ${listed(pins)}` };
  }
  const isPinLike = text.indexOf('.') > 0 && nearest(text, board.netNamed.keys()) === undefined;
  if (isPinLike) return pinFault(board, text);
  const same = board.nets.filter((net) => net.name.toLowerCase() === text.toLowerCase());
  if (same.length > 1) {
    const message = `"${text}" could be any of ${listed(same.map((net) => net.name))}`;
    return {
      code: 'UNCLEAR_POINT',
      message,
      hint: 'write it in the letter case of the board file',
    };
  }
  const known = [...board.netNamed.keys(), ...board.partNamed.keys()];
  const message = `no net is called "${text}"`;
  return { code: 'UNKNOWN_POINT', message, hint: didYouMean(nearest(text, known)) };
}

function pinFault(board: Board, text: string): Fault {
  const dot = text.indexOf('.');
  const name = dot < 0 ? text : text.slice(0, dot);
  const part = board.partNamed.get(name) ?? onlyOne(board.parts, name);
  if (part === undefined) {
    const meant = nearest(name, board.partNamed.keys());
    const hint = didYouMean(
      meant === undefined ? undefined : `${meant}${dot < 0 ? '' : text.slice(dot)}`,
    );
    return { code: 'UNKNOWN_PART', message: `no part is called "${name}"`, hint };
  }
  const pins = pinNames(board, part).map((pin) => `${part.name}.${pin}`);
  if (dot < 0) {
    return {
      code: 'PART_AS_PIN',
      message: `"${text}" is a part; name one pin`,
      hint: `write ${listed(pins)}`,
    };
  }
  const message = `${part.name} has no pin "${text.slice(dot + 1)}"`;
  const hint = didYouMean(nearest(text, pins)) ?? `its pins are ${listed(pins)}`;
  return { code: 'UNKNOWN_PIN', message, hint };
}

function didYouMean(name: string | undefined): string | undefined {
  return name === undefined ? undefined : `did you mean "${name}"?`;
}
