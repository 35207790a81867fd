import { wrap } from '../wrap.ts';
import type { GraphBox, GraphNet } from './model.ts';

/** One line of text in a box or a bar. */
export interface TextLine {
  readonly text: string;
  readonly strong: boolean;
}

export const LINE_HEIGHT = 16;
export const FONT = 12;
/** Width of a letter over the height of its font: plain, and strong; widest of the usual fonts. */
const RATIO = { plain: 0.66, strong: 0.76, wide: 1.1 } as const;
const PADDING = 8;
/** Characters of a line; a longer word is cut into more lines. */
const MOST_LETTERS = 28;

export function netTexts({ name, rail, byName }: GraphNet): TextLine[] {
  return [
    ...lines(name, true),
    ...(rail === undefined ? [] : lines(rail, false)),
    ...(byName ? lines('named in boxes', false) : []),
  ];
}

export function boxTexts({ texts, named }: GraphBox): TextLine[] {
  return [
    ...texts.flatMap(({ names, what }) => [...lines(names, true), ...lines(what, false)]),
    ...named.flatMap((text) => lines(text, false)),
  ];
}

/** Room for the lines and what is left free round them. */
export function sizeOf(
  texts: readonly TextLine[],
  padding: number = PADDING,
): { width: number; height: number } {
  const widest = Math.max(FONT, ...texts.map(widthOf));
  return { width: widest + 2 * padding, height: texts.length * LINE_HEIGHT + padding };
}

/** Wrapped; names too long for a line are broken anywhere. */
function lines(text: string, strong: boolean): TextLine[] {
  const all = wrap(text, MOST_LETTERS).flatMap((line) => {
    const letters = [...line];
    const count = Math.max(1, Math.ceil(letters.length / MOST_LETTERS));
    return Array.from({ length: count }, (_, i) =>
      letters.slice(i * MOST_LETTERS, (i + 1) * MOST_LETTERS).join(''),
    );
  });
  return all.map((line) => ({ text: line, strong }));
}

/** Letters beyond Latin, Greek and Cyrillic may be as wide as they are high. */
function widthOf({ text, strong }: TextLine): number {
  const usual = strong ? RATIO.strong : RATIO.plain;
  return [...text].reduce((sum, each) => sum + (each > '\u04ff' ? RATIO.wide : usual) * FONT, 0);
}
