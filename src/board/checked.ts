import type { Spot } from './source-text.ts';

/**
 * A piece of a file that has passed its shape: plain data that remembers where it stood.
 * What failed the check was reported and is left out.
 */
export interface Checked extends Spot {
  readonly value:
    | string
    | number
    | boolean
    | readonly Checked[]
    | ReadonlyMap<string, CheckedEntry>;
}

export interface CheckedEntry {
  readonly key: Spot;
  /** Undefined when the value was reported as wrong. */
  readonly value: Checked | undefined;
}

type Entries = ReadonlyMap<string, CheckedEntry>;

const NO_ENTRIES: Entries = new Map();
const NO_ITEMS: readonly Checked[] = [];

/** Entries of a map; none when the piece is missing or something else. */
export function entriesOf(piece: Checked | undefined): Entries {
  return piece?.value instanceof Map ? piece.value : NO_ENTRIES;
}

/** Items of a list; none when the piece is missing or something else. */
export function itemsOf(piece: Checked | undefined): readonly Checked[] {
  return Array.isArray(piece?.value) ? piece.value : NO_ITEMS;
}

/** The value under a key of a map. */
export function fieldOf(piece: Checked | undefined, key: string): Checked | undefined {
  return entriesOf(piece).get(key)?.value;
}

export function textOf(piece: Checked | undefined): string | undefined {
  return typeof piece?.value === 'string' ? piece.value : undefined;
}

export function numberOf(piece: Checked | undefined): number | undefined {
  return typeof piece?.value === 'number' ? piece.value : undefined;
}

export function isTrue(piece: Checked | undefined): boolean {
  return piece?.value === true;
}

/** Texts of a list. */
export function textsOf(piece: Checked | undefined): string[] {
  return itemsOf(piece).map((item) => String(item.value));
}

/** A list of two numbers, or undefined. */
export function pairOf(piece: Checked | undefined): readonly [number, number] | undefined {
  const items = itemsOf(piece);
  const [first, second] = [numberOf(items[0]), numberOf(items[1])];
  return first === undefined || second === undefined ? undefined : [first, second];
}
