import type { Board } from '../board/model.ts';
import { harmless } from '../board/shown-text.ts';
import { compareNames, counted } from './words.ts';

/** A part or a net whose name, or what is known of it, holds the letters looked for. */
export interface FoundName {
  readonly what: 'part' | 'net';
  /** Number of the part or net. */
  readonly index: number;
  readonly name: string;
  /** What it is: `n-channel MOSFET, bank upper U`, `net of 12 pads`. */
  readonly note: string;
}

/** Parts and nets that a few letters may mean, best first: the name itself, its beginning, a part of it, the letters in order. */
export function searchNames(board: Board, letters: string, most = 8): FoundName[] {
  const wanted = letters.trim().toLowerCase();
  if (wanted === '') return [];
  const found: { readonly rank: number; readonly found: FoundName }[] = [];
  const offer = (rank: number | undefined, one: FoundName): void => {
    if (rank !== undefined) found.push({ rank, found: one });
  };
  for (const { index, name, kind, bank, partNumber } of board.parts) {
    const facts = [kind.title, bank, partNumber].flatMap((fact) => fact ?? []);
    const note = harmless([kind.title, ...(bank === undefined ? [] : [`bank ${bank}`])].join(', '));
    const rank = rankOf(name, wanted) ?? factRank(facts, wanted);
    offer(rank, { what: 'part', index, name: harmless(name), note });
  }
  for (const { index, name, pins } of board.nets) {
    const note = `net of ${counted(pins.length, 'pad')}`;
    offer(rankOf(name, wanted), { what: 'net', index, name: harmless(name), note });
  }
  return found
    .sort((x, y) => x.rank - y.rank || compareNames(x.found.name, y.found.name))
    .slice(0, most)
    .map((each) => each.found);
}

/** 0 for the name itself, more the less of it is meant; undefined where the letters do not occur. */
function rankOf(name: string, wanted: string): number | undefined {
  const text = name.toLowerCase();
  if (text === wanted) return 0;
  if (text.startsWith(wanted)) return 1;
  const at = text.indexOf(wanted);
  if (at > 0) return /[^a-z0-9]/.test(text[at - 1] ?? '') ? 2 : 3;
  return wanted.length > 1 && isWithin(text, wanted) ? 5 : undefined;
}

function factRank(facts: readonly string[], wanted: string): number | undefined {
  return wanted.length > 1 && facts.some((fact) => fact.toLowerCase().includes(wanted))
    ? 4
    : undefined;
}

/** Whether the letters occur in their order, others between them. */
function isWithin(text: string, wanted: string): boolean {
  let at = 0;
  for (const letter of text) if (letter === wanted[at]) at += 1;
  return at === wanted.length;
}
