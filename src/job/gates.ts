/**
 * What must hold before power is offered. A gate never says that a board is fit for power: it says
 * what was measured, when, and what was not.
 */
import type { Board, Part, Rail } from '../board/model.ts';
import type { Reading } from '../circuit/reading.ts';
import type { TakenReading } from '../faults/evidence.ts';
import type { DerivedJob, Replacement } from './derive.ts';
import { ledgerText } from './ledger.ts';
import { printPin } from './points.ts';
import { printReading } from './print-say.ts';

/** One condition for power-up. */
export interface Gate {
  /** `rail bus read clear`. */
  readonly name: string;
  readonly holds: boolean;
  /** What is still to be done for it, one line each; empty when it holds. */
  readonly needs: readonly string[];
}

export interface GateOptions {
  /** Whether a reading is what the board would show without a short there. */
  isClear(reading: Reading): boolean;
}

/** What a reading between two places came to since the last change. */
interface Proof {
  readonly clear: boolean;
  readonly need: string;
}

/** All gates of a job: the ledger, each rail, each replaced part. */
export function gates(board: Board, job: DerivedJob, options: GateOptions): Gate[] {
  return [
    gate(
      'everything back on the board',
      job.ledger.map((entry) => `refit ${ledgerText(board, entry)}`),
    ),
    ...board.rails.map((rail) => railGate(board, job, rail, options)),
    ...job.replaced.map((fitted) => partGate(board, job, fitted, options)),
  ];
}

function gate(name: string, needs: readonly string[]): Gate {
  return { name, holds: needs.length === 0, needs };
}

function railGate(board: Board, job: DerivedJob, rail: Rail, options: GateOptions): Gate {
  const proof = provePair(board, job, { nets: [rail.plus, rail.minus], options });
  return gate(`rail ${rail.name} read clear`, proof.clear ? [] : [proof.need]);
}

function partGate(board: Board, job: DerivedJob, fitted: Replacement, options: GateOptions): Gate {
  const part = board.parts[fitted.part];
  const name = `${part?.name ?? '?'}, replaced in event ${fitted.since}, read clear on its pads`;
  if (part === undefined) return gate(name, []);
  const pairs = shortPairs(board, part);
  const proofs = pairs.map((pins) => {
    const nets: [number, number] = [netOf(board, pins[0]), netOf(board, pins[1])];
    return provePair(board, job, { nets, pins, options });
  });
  // Where the kind names no pair of its own, one clear reading across the part is the proof.
  const isEnough = hasNamedPairs(part) ? proofs.every((proof) => proof.clear) : anyClear(proofs);
  if (isEnough) return gate(name, []);
  const open = proofs.filter((proof) => !proof.clear).map((proof) => proof.need);
  return gate(name, hasNamedPairs(part) ? open : open.slice(0, 1));
}

function anyClear(proofs: readonly Proof[]): boolean {
  return proofs.length === 0 || proofs.some((proof) => proof.clear);
}

function hasNamedPairs(part: Part): boolean {
  return namedPairs(part).length > 0;
}

/** Pairs of pins that the kind's failures join, roles such as `@supply` left out. */
function namedPairs(part: Part): readonly (readonly [string, string])[] {
  const joins = part.kind.modes.flatMap((mode) => mode.joins);
  return joins.filter((pair) => pair.every((pin) => !pin.startsWith('@')));
}

/** The pads to read across, one pair for each pair of nets. */
function shortPairs(board: Board, part: Part): [number, number][] {
  const named = namedPairs(part).flatMap(([a, b]) => pinPair(board, part, a, b));
  const all = part.pins.flatMap((a, at) =>
    part.pins.slice(at + 1).map((b): [number, number] => [a, b]),
  );
  const seen = new Set<string>();
  return (named.length > 0 ? named : all).filter(([a, b]) => {
    const [low, high] = [netOf(board, a), netOf(board, b)].sort((x, y) => x - y);
    const key = `${low}-${high}`;
    const isNew = low !== high && !seen.has(key);
    seen.add(key);
    return isNew;
  });
}

function pinPair(board: Board, part: Part, a: string, b: string): [number, number][] {
  const find = (name: string): number | undefined =>
    part.pins.find((pin) => board.pins[pin]?.name === name);
  const [red, black] = [find(a), find(b)];
  return red === undefined || black === undefined ? [] : [[red, black]];
}

function netOf(board: Board, pin: number): number {
  return board.pins[pin]?.net ?? -1;
}

interface Pair {
  readonly nets: readonly [number, number];
  /** Pads to name in what is needed; the nets' names when left out. */
  readonly pins?: readonly [number, number];
  readonly options: GateOptions;
}

/** A pad and its net are one for this: what is asked is whether the two nets are clear. */
function provePair(board: Board, job: DerivedJob, pair: Pair): Proof {
  const [a, b] = pair.nets;
  const last = job.evidence.readings.findLast((reading) => isAcross(reading, a, b));
  const where = (
    pair.pins?.map((pin) => printPin(board, pin)) ??
    pair.nets.map((net) => board.nets[net]?.name ?? '?')
  ).join(' ');
  if (last === undefined) return { clear: false, need: `read ${where}: not read yet` };
  const said = `"${printReading(board, last)}" in event ${last.id}`;
  if (last.id <= job.lastChange) {
    const need = `read ${where} again: last read ${said}, before the change in event ${job.lastChange}`;
    return { clear: false, need };
  }
  const clear = pair.options.isClear(last);
  return { clear, need: `${where} is not clear: last read ${said}` };
}

function isAcross(reading: TakenReading, a: number, b: number): boolean {
  const { red, black, offPart, mode } = reading;
  if (offPart !== undefined || mode === 'diode') return false;
  return (red.net === a && black.net === b) || (red.net === b && black.net === a);
}
