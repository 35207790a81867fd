import type { Board } from '../board/model.ts';
import type { Point, Probe } from '../circuit/reading.ts';
import type { RepairUnit } from './hypotheses.ts';

/** All wording of steps in one place. */

export function pointName(board: Board, point: Point): string {
  const pin = point.pin === undefined ? undefined : board.pins[point.pin];
  if (pin !== undefined) return `${board.parts[pin.part]?.name}.${pin.name}`;
  return board.nets[point.net]?.name ?? '?';
}

export function pairName(board: Board, probe: Probe): string {
  return `${pointName(board, probe.red)} and ${pointName(board, probe.black)}`;
}

export function netName(board: Board, net: number): string {
  return board.nets[net]?.name ?? '?';
}

/** `Q3`, `Q1, Q2 and Q3`, `C1, C2, C3 and 57 more`. */
export function partNames(board: Board, parts: readonly number[], most = 6): string {
  const names = parts.map((part) => board.parts[part]?.name ?? '?');
  if (names.length > most) return `${names.slice(0, 3).join(', ')} and ${names.length - 3} more`;
  if (names.length < 2) return names[0] ?? 'nothing';
  return `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}`;
}

export function unitName(board: Board, unit: RepairUnit): string {
  const nets = unit.nets?.map((net) => netName(board, net));
  switch (unit.what) {
    case 'part':
      return unit.choice ? `one of ${partNames(board, unit.parts)}` : partNames(board, unit.parts);
    case 'joint': {
      const pin = board.pins[unit.pin ?? -1];
      return `the joint at ${board.parts[pin?.part ?? -1]?.name}.${pin?.name}`;
    }
    case 'link':
    case 'bridge':
      return `an unlisted link or bridge between ${nets?.join(' and ')}`;
    case 'copper':
      return `broken copper of ${nets?.[0]}`;
  }
}

export function unitsName(board: Board, units: readonly RepairUnit[]): string {
  if (units.length === 0) return 'nothing on the board';
  return units.map((unit) => unitName(board, unit)).join(' with ');
}

export function percent(weight: number): string {
  if (weight > 0.995 && weight < 1) return 'over 99 %';
  if (weight < 0.005 && weight > 0) return 'under 1 %';
  return `${Math.round(weight * 100)} %`;
}
