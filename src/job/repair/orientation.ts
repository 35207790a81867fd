/** Which way round a part goes, in its nets; and where two bodies' marks oppose each other. */
import type { Board, Part } from '../../board/model.ts';
import { MARKS, type MarkedEnd, type MarkFact } from './marks.ts';
import { type Family, familyOf } from './package-family.ts';

export interface Orientation {
  readonly family: Family;
  readonly fact: MarkFact;
  /** It may be fitted either way round. */
  readonly isEitherWay: boolean;
  /** Where the marked end goes, when the board file has a pin for it. */
  readonly markedPin?: number;
  /** Pins of a part of three legs or fewer, in file order, where a wrong way round matters. */
  readonly pins: readonly number[];
  /** How the board file says this one is marked. */
  readonly boardMark?: string;
  /** What the board file says does not agree with what such bodies usually carry. */
  readonly disagrees: boolean;
}

const PIN_OF: Readonly<Record<MarkedEnd, readonly string[]>> = {
  minus: ['minus'],
  plus: ['plus'],
  cathode: ['K'],
  'pin 1': ['1'],
};

/** The orientation of a part, from its family and what the board file says of it. */
export function orientationOf(board: Board, part: Part): Orientation {
  const family = familyOf(part);
  const fact = MARKS[family];
  const wanted = fact.means === undefined ? [] : PIN_OF[fact.means];
  const markedPin = part.pins.find((pin) => wanted.includes(board.pins[pin]?.name ?? ''));
  const isEitherWay = family === 'either way round';
  return {
    family,
    fact,
    isEitherWay,
    ...(markedPin === undefined ? {} : { markedPin }),
    pins: isEitherWay || part.pins.length > 4 ? [] : part.pins,
    ...(part.mark === undefined ? {} : { boardMark: part.mark }),
    disagrees: contradicts(part.mark, fact.means),
  };
}

/** Words of a board file's mark that name an end. */
const SAYS: readonly (readonly [RegExp, MarkedEnd])[] = [
  [/\b(minus|negative)\b/i, 'minus'],
  [/\b(plus|positive)\b/i, 'plus'],
  [/\b(cathode|K)\b/, 'cathode'],
];

function contradicts(mark: string | undefined, means: MarkedEnd | undefined): boolean {
  if (mark === undefined || means === undefined || means === 'pin 1') return false;
  const said = SAYS.filter(([words]) => words.test(mark)).map(([, end]) => end);
  return said.length > 0 && !said.includes(means);
}

/** One way of marking an end, and the parts of a pull that carry it. */
export interface Convention {
  readonly body: string;
  readonly mark: string;
  readonly means: MarkedEnd;
  readonly parts: readonly number[];
}

/**
 * The marks of parts handled together, when some of them oppose each other: an end mark that is
 * plus on one body and minus, or the cathode, on another. Empty when none do.
 */
export function opposedMarks(board: Board, parts: readonly number[]): Convention[] {
  const found = new Map<string, { convention: Convention; parts: number[] }>();
  for (const index of parts) {
    const part = board.parts[index];
    if (part === undefined) continue;
    const { fact } = orientationOf(board, part);
    const { body, mark, means } = fact;
    if (fact.isEndMark !== true || mark === undefined || means === undefined) continue;
    const key = `${body} ${mark}`;
    const held = found.get(key) ?? { convention: { body, mark, means, parts: [] }, parts: [] };
    held.parts.push(index);
    found.set(key, held);
  }
  const conventions = [...found.values()].map(({ convention, parts: own }) => ({
    ...convention,
    parts: own,
  }));
  const ends = new Set(conventions.map(({ means }) => means));
  return ends.has('plus') && ends.size > 1 ? conventions : [];
}
