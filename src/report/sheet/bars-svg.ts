import { columnsOf } from '../../board/shown-text.ts';
import type { BarsBlock } from './blocks.ts';
import { escapeHtml } from './escape.ts';

const WIDTH = 720;
const ROW = 24;
/** Of the widest name or figure, px; longer ones are drawn closer. */
const MOST_TEXT = 240;
/** Of a letter at 14 px, on the safe side, px. */
const LETTER = 8.5;

/**
 * Bars as SVG in the colours of the page around it: the name before each, the figure behind it.
 * @param id unique on the page
 */
export function barsSvg({ caption, bars }: BarsBlock, id: string): string {
  const names = spaceFor(bars.map(({ name }) => name));
  const figures = spaceFor(bars.map(({ says }) => says));
  const most = Math.max(...bars.map(({ value }) => value), Number.MIN_VALUE);
  const rows = bars.flatMap(({ name, value, says }, k) => {
    const y = k * ROW;
    const long = ((WIDTH - names - figures - 16) * Math.max(0, value)) / most;
    return [
      `<text x="${names}" y="${y + 16}" text-anchor="end"${fitted(name)}>${escapeHtml(name)}</text>`,
      `<rect class="quantity" x="${names + 8}" y="${y + 4}" width="${long.toFixed(1)}" height="${ROW - 8}"/>`,
      `<text x="${(names + 14 + long).toFixed(1)}" y="${y + 16}"${fitted(says)}>${escapeHtml(says)}</text>`,
    ];
  });
  return [
    `<svg role="img" aria-labelledby="${id}-title" viewBox="0 0 ${WIDTH} ${bars.length * ROW}" style="max-width:${WIDTH}px">`,
    `<title id="${id}-title">${escapeHtml(caption)}</title>`,
    ...rows,
    '</svg>',
  ].join('\n');
}

function spaceFor(texts: readonly string[]): number {
  // A wide capital or two must fit as well.
  return Math.min(MOST_TEXT, Math.max(...texts.map(columnsOf), 0) * LETTER + 8);
}

function fitted(text: string): string {
  return columnsOf(text) * LETTER > MOST_TEXT
    ? ` textLength="${MOST_TEXT}" lengthAdjust="spacingAndGlyphs"`
    : '';
}
