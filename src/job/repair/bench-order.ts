/** The order of work: what comes off first, where it lies, and what is fitted first. */
import type { Board, Part } from '../../board/model.ts';
import { identityOf, isIdentified } from './identity.ts';
import { familyOf, legsOf } from './package-family.ts';

/** Parts taken off, or fitted, in one go. */
export interface WorkGroup {
  readonly what: 'heatsink' | 'leaded' | 'tall' | 'surface' | 'not known';
  readonly heatsink?: string;
  readonly side?: 'top' | 'bottom';
  readonly parts: readonly number[];
}

/**
 * Groups in the order they come off: heatsinks first, each once, as they hide what is under them;
 * then tall and other leaded parts, then the surface, top before bottom so that the board is turned
 * once.
 */
export function pullOrder(board: Board, parts: readonly number[]): WorkGroup[] {
  const rank = ['heatsink', 'tall', 'leaded', 'not known', 'surface'];
  return grouped(board, parts).sort(
    (a, b) => rank.indexOf(a.what) - rank.indexOf(b.what) || sideRank(a) - sideRank(b),
  );
}

/**
 * Groups in the order they are fitted: the surface first, bottom before top, then low parts, then
 * tall ones; heatsinks last, as the parts on one are fastened before they are soldered.
 */
export function fitOrder(board: Board, parts: readonly number[]): WorkGroup[] {
  const rank = ['surface', 'leaded', 'not known', 'tall', 'heatsink'];
  return grouped(board, parts).sort(
    (a, b) => rank.indexOf(a.what) - rank.indexOf(b.what) || sideRank(b) - sideRank(a),
  );
}

function grouped(board: Board, parts: readonly number[]): WorkGroup[] {
  const groups = new Map<string, { group: Omit<WorkGroup, 'parts'>; parts: number[] }>();
  for (const index of parts) {
    const part = board.parts[index];
    if (part === undefined) continue;
    const group = groupOf(part);
    const key = `${group.what}|${group.heatsink ?? ''}|${group.side ?? ''}`;
    const held = groups.get(key) ?? { group, parts: [] };
    held.parts.push(index);
    groups.set(key, held);
  }
  return [...groups.values()].map(({ group, parts: own }) => ({ ...group, parts: own }));
}

function groupOf(part: Part): Omit<WorkGroup, 'parts'> {
  if (part.heatsink !== undefined) return { what: 'heatsink', heatsink: part.heatsink };
  const legs = legsOf(part);
  if (legs === 'surface') {
    return { what: 'surface', ...(part.side === undefined ? {} : { side: part.side }) };
  }
  if (familyOf(part) === 'can, leaded' || part.kind.name === 'transformer') return { what: 'tall' };
  return { what: legs === 'holes' ? 'leaded' : 'not known' };
}

function sideRank({ side }: WorkGroup): number {
  return side === 'bottom' ? 1 : 0;
}

/** A place of the pull tray for one part. */
export interface TrayPlace {
  readonly part: number;
  /** From 0; one row holds one thing, so that look-alikes never lie side by side. */
  readonly row: number;
  /** From 1, within the row. */
  readonly place: number;
}

/** A place for every part, rows in the order in which they are first needed. */
export function trayPlaces(board: Board, parts: readonly number[]): TrayPlace[] {
  const rows = new Map<string, { row: number; count: number }>();
  return parts.flatMap((index): TrayPlace[] => {
    const part = board.parts[index];
    if (part === undefined) return [];
    const key = isIdentified(part) ? identityOf(part).key : `?${index}`;
    const held = rows.get(key) ?? { row: rows.size, count: 0 };
    rows.set(key, { ...held, count: held.count + 1 });
    return [{ part: index, row: held.row, place: held.count + 1 }];
  });
}

/** Without i and o, which are taken for 1 and 0. */
const LETTERS = 'abcdefghjklmnpqrstuvwxyz';

/** `3b`: third row, second place. Designators begin with a letter, so the two are not mixed up. */
export function placeName({ row, place }: TrayPlace): string {
  let letters = '';
  for (let left = place; left > 0; left = Math.floor((left - 1) / LETTERS.length)) {
    letters = LETTERS.charAt((left - 1) % LETTERS.length) + letters;
  }
  return `${row + 1}${letters}`;
}
