/** Readings of a good board, net after net against ground: what a bad one is held against. */
import { isGround } from '../board/import/net-words.ts';
import type { Board } from '../board/model.ts';
import { isYetToFind } from '../board/part-list/part-list.ts';
import { conducts, USUAL_TOLERANCE } from './compare-values.ts';
import type { SavedReading } from './saved-reading.ts';

/** One reading to take. */
export interface ReferenceProbe {
  /** Net names, red first. */
  readonly red: string;
  readonly black: string;
  readonly mode: 'ohms' | 'diode';
}

/** First words of a file of such readings. */
export const REFERENCE_REMARK = '# Readings of a known-good board';

/** True for a file that says so in its first line. */
export function isReference(text: string): boolean {
  return text.trimStart().startsWith(REFERENCE_REMARK);
}

/** The head of a new file. */
export function referenceHead(board: Board, ground: string, meter: string, day: string): string {
  return `${REFERENCE_REMARK}: ${board.name}, against ${ground}, ${day}\n# meter: ${meter}\n`;
}

/**
 * The net that all others are read against: the minus of most rails, else the largest whose name says
 * ground; undefined where there is none.
 */
export function groundOf(board: Board): number | undefined {
  const rails = new Map<number, number>();
  for (const { minus } of board.rails) rails.set(minus, (rails.get(minus) ?? 0) + 1);
  const size = (net: number): number => board.nets[net]?.pins.length ?? 0;
  const [common] = [...rails].sort((a, b) => b[1] - a[1] || size(b[0]) - size(a[0]));
  if (common !== undefined) return common[0];
  const named = board.nets.filter(({ name }) => isGround(name));
  return named.toSorted((a, b) => b.pins.length - a.pins.length)[0]?.index;
}

/**
 * What is still to be read: of every net ohms, then the diode test both ways; rails first, then nets
 * by their pins. Where ohms show hardly any resistance no junction would show, and none is asked for.
 */
export function referenceProbes(
  board: Board,
  ground: number,
  taken: readonly SavedReading[],
): ReferenceProbe[] {
  const black = board.nets[ground]?.name ?? '';
  const rails = new Set(board.rails.flatMap(({ plus, minus }) => [plus, minus]));
  const nets = board.nets
    .filter(({ index, name, pins }) => index !== ground && pins.length > 0 && !isYetToFind(name))
    .toSorted(
      (a, b) =>
        Number(rails.has(b.index)) - Number(rails.has(a.index)) || b.pins.length - a.pins.length,
    );
  const last = lastByProbe(taken);
  return nets.flatMap(({ name }) => {
    const ohms = { red: name, black, mode: 'ohms' as const };
    const read = last.get(keyOf(ohms)) ?? last.get(keyOf({ ...ohms, red: black, black: name }));
    const isDark = read !== undefined && conducts(read, USUAL_TOLERANCE);
    const all: ReferenceProbe[] = [
      ohms,
      { red: name, black, mode: 'diode' },
      { red: black, black: name, mode: 'diode' },
    ];
    return all.filter((probe) =>
      probe.mode === 'ohms' ? read === undefined : !isDark && !last.has(keyOf(probe)),
    );
  });
}

/** A bare answer as a line: `4.7k`, `0.52`, `OL`; anything with a blank in it is a line already. */
export function referenceLine(probe: ReferenceProbe, answer: string): string {
  const text = answer.trim();
  if (/\s/.test(text)) return text;
  const { red, black, mode } = probe;
  if (/^(OL|open|-)$/i.test(text)) return `${red} ${black} OL${mode === 'diode' ? ' diode' : ''}`;
  const [, figure = text, unit = ''] = /^([\d.,]+)([a-zA-ZΩ]*)$/u.exec(text) ?? [];
  const value = figure.replace(',', '.');
  if (mode === 'diode') return `${red} ${black} ${value} ${unit === '' ? 'V' : unit}`;
  const prefix = /^[kM]$/.test(unit) ? `${unit}ohm` : unit === '' ? 'ohm' : unit;
  return `${red} ${black} ${value} ${prefix}`;
}

function lastByProbe(taken: readonly SavedReading[]): Map<string, SavedReading> {
  return new Map(
    taken
      .filter(({ mode, off }) => (mode === 'ohms' || mode === 'diode') && off === undefined)
      .map((reading) => [keyOf(reading), reading]),
  );
}

function keyOf({ red, black, mode }: { red: string; black: string; mode: string }): string {
  return `${mode} ${red} ${black}`;
}
