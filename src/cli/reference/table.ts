import { existsSync } from 'node:fs';
import { readReadings } from '../../bench/readings-file.ts';
import { InputError } from '../../board/diagnostic.ts';
import type { Board } from '../../board/model.ts';
import { COMMON_HANDHELD, type Meter } from '../../circuit/meter.ts';
import { parseSay } from '../../job/notation.ts';
import { printSay } from '../../job/print-say.ts';
import {
  groundOf,
  isReference,
  type ReferenceProbe,
  referenceHead,
  referenceProbes,
} from '../../job/reference.ts';
import { type ReferenceView, viewReference } from '../../report/reference.ts';
import type { Context } from '../context.ts';
import { readText, writeWhole } from '../files.ts';

/** A table of readings of a good board, and its file. */
export interface ReferenceTable {
  readonly board: Board;
  readonly path: string;
  readonly meter: Meter;
  view(): ReferenceView;
  next(): ReferenceProbe | undefined;
  /**
   * Adds lines; they are on the disk on return, all of them or none.
   * @throws {InputError} for a line that is no reading between two points, or `undo`
   */
  add(lines: readonly string[]): void;
}

export interface ReferenceCall {
  readonly board: Board;
  readonly path: string;
  /** Name of the net to read against. */
  readonly ground?: string;
  readonly meter?: Meter;
}

/**
 * Opens the table of a file, or begins one.
 * @throws {InputError} when the file holds something else, or nothing tells which net is ground
 */
export async function openReference(
  context: Context,
  call: ReferenceCall,
): Promise<ReferenceTable> {
  const { board, path } = call;
  const ground = netOf(board, call.ground);
  const isThere = existsSync(path);
  let text = isThere ? await readText(path, context) : '';
  if (isThere && !isReference(text)) {
    throw refusal(`"${path}" is there, and holds no readings of a good board`, 'name another file');
  }
  const groundName = board.nets[ground]?.name ?? '';
  const meter = call.meter ?? COMMON_HANDHELD;
  if (!isThere) text = referenceHead(board, groundName, meter.name, today());
  let taken = readReadings(text, path, board).readings;
  const left = (): ReferenceProbe[] => referenceProbes(board, ground, taken);
  return {
    board,
    path,
    meter,
    view: () => viewReference(board, ground, taken.length, left()),
    next: () => left()[0],
    add(lines) {
      const added = lines.map((line) => checked(board, line));
      const whole = `${text.replace(/\n*$/, '\n')}${added.map((line) => `${line}\n`).join('')}`;
      const readings = readReadings(whole, path, board).readings;
      writeWhole(path, whole, true);
      text = whole;
      taken = readings;
    },
  };
}

function checked(board: Board, line: string): string {
  const say = parseSay(board, line);
  const isFit = say.do === 'undo' || (say.do === 'read' && say.reading.offPart === undefined);
  if (isFit) return printSay(board, say);
  throw refusal(
    `"${line}" is no reading between two points`,
    'write e.g. P48 GND 4.7 kohm, or undo',
  );
}

function netOf(board: Board, name: string | undefined): number {
  const net = name === undefined ? groundOf(board) : board.netNamed.get(name)?.index;
  if (net !== undefined) return net;
  const message =
    name === undefined ? 'nothing tells which net is ground' : `the board has no net "${name}"`;
  throw refusal(message, 'name it: --ground NET');
}

/** The day as the shop's calendar has it. */
function today(): string {
  const now = new Date();
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

function refusal(message: string, hint: string): InputError {
  return new InputError([{ code: 'REFERENCE', severity: 'error', message, hint }]);
}
