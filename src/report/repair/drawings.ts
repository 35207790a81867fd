/**
 * What a body looks like and which end is which: small drawings on a grid of cells, drawn with
 * letters on a screen and with lines on a sheet, from the same figures.
 */
import type { Family } from '../../job/repair/package-family.ts';

/** A shape on the grid; all figures are cells, from the upper left corner. */
export type Shape =
  | {
      readonly draw: 'box';
      readonly x: number;
      readonly y: number;
      readonly w: number;
      readonly h: number;
    }
  /** A printed mark: stripe, bar, band. */
  | {
      readonly draw: 'mark';
      readonly x: number;
      readonly y: number;
      readonly w: number;
      readonly h: number;
    }
  | {
      readonly draw: 'across' | 'down';
      readonly x: number;
      readonly y: number;
      readonly length: number;
    }
  | { readonly draw: 'dot'; readonly x: number; readonly y: number }
  | { readonly draw: 'words'; readonly x: number; readonly y: number; readonly text: string };

export interface Drawing {
  readonly width: number;
  readonly height: number;
  readonly shapes: readonly Shape[];
}

const box = (x: number, y: number, w: number, h: number): Shape => ({ draw: 'box', x, y, w, h });
const mark = (x: number, y: number, w: number, h: number): Shape => ({ draw: 'mark', x, y, w, h });
const across = (x: number, y: number, length: number): Shape => ({ draw: 'across', x, y, length });
const down = (x: number, y: number, length: number): Shape => ({ draw: 'down', x, y, length });
const dot = (x: number, y: number): Shape => ({ draw: 'dot', x, y });
const words = (x: number, y: number, text: string): Shape => ({ draw: 'words', x, y, text });

function drawing(width: number, height: number, ...shapes: readonly Shape[]): Drawing {
  return { width, height, shapes };
}

/** Two ends with a mark at one of them. */
function ended(left: string, right: string, at: 'left' | 'right', said: string): Drawing {
  const bar = at === 'left' ? mark(12, 1, 2, 1) : mark(20, 1, 2, 1);
  return drawing(
    40,
    4,
    box(11, 0, 12, 3),
    bar,
    across(7, 1, 4),
    across(23, 1, 4),
    words(6 - left.length, 1, left),
    words(28, 1, right),
    words(11, 3, said),
  );
}

/** Legs on four sides, seen from above: pin 1 at the dot, then down its side and on round. */
const FOUR_SIDES = drawing(
  40,
  7,
  box(10, 1, 14, 5),
  dot(12, 2),
  words(14, 3, 'from'),
  words(14, 4, 'above'),
  across(7, 2, 3),
  across(7, 3, 3),
  across(7, 4, 3),
  across(24, 2, 3),
  across(24, 3, 3),
  across(24, 4, 3),
  down(13, 0, 1),
  down(17, 0, 1),
  down(21, 0, 1),
  down(13, 6, 1),
  down(17, 6, 1),
  down(21, 6, 1),
  words(1, 2, 'pin 1'),
  words(5, 3, '2'),
  words(5, 4, '3'),
);

/** Two rows of legs, seen from above: pin 1 at the dot or notch, then along and back. */
const TWO_ROWS = drawing(
  40,
  6,
  box(8, 1, 18, 4),
  words(9, 2, ')'),
  dot(10, 3),
  words(13, 2, 'from above'),
  down(10, 0, 1),
  down(14, 0, 1),
  down(18, 0, 1),
  down(22, 0, 1),
  down(10, 5, 1),
  down(14, 5, 1),
  down(18, 5, 1),
  down(22, 5, 1),
  words(2, 5, 'pin 1'),
  words(26, 5, '4, then back'),
);

/** By family; where nothing can be drawn that helps, none. */
export const DRAWINGS: Readonly<Partial<Record<Family, Drawing>>> = {
  'can, leaded': drawing(
    40,
    7,
    box(10, 0, 12, 5),
    mark(19, 1, 2, 3),
    words(24, 2, 'stripe = minus'),
    down(13, 5, 2),
    down(18, 5, 1),
    words(8, 6, 'plus'),
    words(18, 6, 'minus'),
  ),
  'can, surface mount': drawing(
    40,
    6,
    box(10, 0, 14, 5),
    mark(20, 1, 3, 3),
    words(12, 2, 'from'),
    words(12, 3, 'above'),
    across(7, 2, 3),
    across(24, 2, 3),
    words(2, 2, 'plus'),
    words(28, 2, 'minus'),
    words(10, 5, 'segment = minus'),
  ),
  'can, axial': ended('plus', 'minus', 'right', 'arrows point to minus'),
  'tantalum chip': ended('plus', 'minus', 'left', 'bar = plus'),
  'tantalum bead': drawing(
    36,
    5,
    box(10, 0, 10, 3),
    words(12, 1, '+'),
    down(12, 3, 2),
    down(17, 3, 1),
    words(6, 4, 'plus'),
    words(17, 4, 'minus (short)'),
  ),
  'diode, leaded': ended('A', 'K', 'right', 'band = cathode K'),
  'diode, surface mount': ended('A', 'K', 'right', 'band = cathode K'),
  'lamp, leaded': drawing(
    40,
    6,
    box(10, 0, 9, 4),
    mark(18, 1, 1, 2),
    words(21, 1, 'flat = cathode'),
    down(12, 4, 2),
    down(16, 4, 1),
    words(9, 5, 'A'),
    words(16, 5, 'K (short)'),
  ),
  'lamp, surface mount': ended('A', 'K', 'right', 'mark = cathode K'),
  bridge: drawing(
    38,
    6,
    box(8, 0, 18, 4),
    words(8, 0, '/'),
    words(10, 1, '+'),
    words(14, 1, '~'),
    words(18, 1, '~'),
    words(23, 1, '-'),
    down(10, 4, 1),
    down(14, 4, 1),
    down(18, 4, 1),
    down(23, 4, 1),
    words(9, 5, 'bevel = plus'),
  ),
  'three-leg tab': drawing(
    42,
    8,
    box(10, 0, 13, 3),
    words(13, 1, 'tab = 2'),
    box(10, 2, 13, 4),
    words(12, 4, 'print'),
    down(12, 6, 1),
    down(16, 6, 1),
    down(20, 6, 1),
    words(12, 7, '1'),
    words(16, 7, '2'),
    words(20, 7, '3'),
    words(25, 4, 'print towards you'),
  ),
  'two-leg tab': drawing(
    42,
    8,
    box(10, 0, 13, 3),
    words(12, 1, 'tab = K'),
    box(10, 2, 13, 4),
    words(12, 4, 'print'),
    down(12, 6, 1),
    down(20, 6, 1),
    words(12, 7, 'K'),
    words(20, 7, 'A'),
    words(25, 4, 'print towards you'),
  ),
  'tab, surface mount': drawing(
    40,
    7,
    box(10, 0, 13, 3),
    words(12, 1, 'tab = 2'),
    box(10, 2, 13, 3),
    down(12, 5, 1),
    down(20, 5, 1),
    words(12, 6, '1'),
    words(20, 6, '3'),
    words(25, 1, 'wide pad'),
  ),
  'three-leg small': drawing(
    38,
    6,
    box(10, 1, 11, 4),
    down(15, 0, 1),
    down(12, 5, 1),
    down(18, 5, 1),
    words(12, 2, 'from'),
    words(12, 3, 'above'),
    words(23, 0, 'one leg'),
    words(23, 5, 'two legs'),
  ),
  'three-leg round': drawing(
    38,
    6,
    box(10, 0, 11, 3),
    words(12, 1, 'flat'),
    down(12, 3, 2),
    down(15, 3, 2),
    down(18, 3, 2),
    words(12, 5, '1  2  3'),
    words(23, 1, 'towards you'),
  ),
  'in-line rows': TWO_ROWS,
  'pins on four sides': FOUR_SIDES,
  'pads underneath': FOUR_SIDES,
};
