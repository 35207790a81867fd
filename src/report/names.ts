import type { Board } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import type { MeterMode, Point, Probe } from '../circuit/reading.ts';
import type { FaultName } from '../faults/diagnosis.ts';
import { printPin, printPoint } from '../job/points.ts';
import { runsOf } from './words.ts';

/** Board numbers turned into what a person calls them. */
export function partName(board: Board, part: number): string {
  return harmless(board.parts[part]?.name ?? `part ${part}`);
}

export function partNames(board: Board, parts: readonly number[]): string[] {
  return parts.map((part) => partName(board, part));
}

export function netName(board: Board, net: number): string {
  return harmless(board.nets[net]?.name ?? `net ${net}`);
}

/** `Q3.D`. */
export function pinName(board: Board, pin: number): string {
  return harmless(printPin(board, pin));
}

export function pointName(board: Board, point: Point): string {
  return harmless(printPoint(board, point));
}

/** The meter's setting, as it follows a probe: `P48 to GND, beeper`. */
export const MODE_WORDS: Readonly<Record<MeterMode, string>> = {
  continuity: 'beeper',
  ohms: 'ohms',
  diode: 'diode test',
  'low-voltage': 'ohms, low voltage',
  'four-wire': 'four-wire, milliohms',
  millivolts: 'millivolts, current injected',
};

/** `P48 to GND (beeper)`, `Q3 on its own legs, D to S (ohms)`. */
export function probeText(board: Board, probe: Probe): string {
  const pair = `${legOrPoint(board, probe, probe.red)} to ${legOrPoint(board, probe, probe.black)}`;
  const where =
    probe.offPart === undefined ? '' : `${partName(board, probe.offPart)} off the board, `;
  return `${where}${pair} (${MODE_WORDS[probe.mode]})`;
}

/** A point of a probe; on a part off the board only the pin's own name. */
export function legOrPoint(board: Board, probe: Probe, point: Point): string {
  const pin = point.pin === undefined ? undefined : board.pins[point.pin];
  if (probe.offPart !== undefined && pin !== undefined) return harmless(pin.name);
  return pointName(board, point);
}

/** One failed thing in words: `Q3 D-S short`, `joint Q3.D open`, `one of C1–C3 short`. */
export function faultText(board: Board, fault: FaultName): string {
  const nets = (fault.nets ?? []).map((net) => netName(board, net));
  if (fault.what === 'bridge') return `a bridge between ${nets.join(' and ')}`;
  if (fault.what === 'link')
    return `${nets.join(' and ')} joined, which the board file does not say`;
  if (fault.what === 'copper') return `broken copper of ${nets[0] ?? 'a net'}`;
  if (fault.what === 'joint' && fault.pin !== undefined && fault.parts.length < 2) {
    return `joint ${pinName(board, fault.pin)} open`;
  }
  if (fault.parts.length < 2) return `${partName(board, fault.parts[0] ?? -1)} ${fault.mode}`;
  return `one of ${runsOf(partNames(board, fault.parts), 6)} ${fault.mode}`;
}
