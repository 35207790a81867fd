import { escapeHtml } from '../sheet/escape.ts';
import { counted } from '../words.ts';
import { wrap } from '../wrap.ts';
import { type GraphLayout, layGraph } from './layout.ts';
import type { GraphView } from './model.ts';
import type { Box } from './route.ts';
import { GRAPH_STYLE } from './style.ts';
import { FONT, LINE_HEIGHT, type TextLine } from './texts.ts';

const MARGIN = 16;
const HEAD = 24;
/** Narrower, and the words above the drawing would stand in too many lines. */
const LEAST_WIDTH = 560;

/** A board as a drawing of its own: no script, nothing fetched, light and dark. */
export function graphSvg(view: GraphView): string {
  const laid = layGraph(view);
  const width = Math.ceil(Math.max(LEAST_WIDTH, laid.width + 2 * MARGIN));
  const notes = notesOf(view).flatMap((text) => wrap(text, Math.floor((width - 2 * MARGIN) / 8.2)));
  const top = MARGIN + HEAD + notes.length * LINE_HEIGHT + MARGIN;
  const height = Math.ceil(top + laid.height + MARGIN);
  const left = (width - laid.width) / 2;
  const title = titleOf(view);
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="title" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}">`,
    `<title id="title">${escapeHtml(title)}</title>`,
    `<style>${GRAPH_STYLE}</style>`,
    `<rect class="page" width="${width}" height="${height}"/>`,
    `<text class="head" x="${MARGIN}" y="${MARGIN + 14}">${escapeHtml(title)}</text>`,
    ...notes.map(
      (text, i) =>
        `<text class="note" x="${MARGIN}" y="${MARGIN + HEAD + 12 + i * LINE_HEIGHT}">${escapeHtml(text)}</text>`,
    ),
    `<g transform="translate(${n(left)} ${n(top)})">`,
    ...drawing(laid),
    '</g>',
    '</svg>',
    '',
  ].join('\n');
}

function titleOf({ board, near }: GraphView): string {
  return near === undefined ? `${board}: power nets` : `${board}: round ${near}`;
}

function notesOf({ near, nets, left }: GraphView): string[] {
  const rest = [
    ...(left.parts > 0 ? [counted(left.parts, 'part')] : []),
    ...(left.nets > 0 ? [counted(left.nets, 'net')] : []),
  ];
  const why = near === undefined ? 'off the power nets' : 'farther off';
  return [
    'Filled bars are nets, boxes are parts, dashed boxes are jumpers; what feeds stands above, or left of, what is fed.',
    ...(nets.some(({ byName }) => byName)
      ? ['A net with many boxes on it is named in each of them instead of joined by lines.']
      : []),
    ...(rest.length > 0 ? [`Not drawn, ${why}: ${rest.join(' and ')}.`] : []),
  ];
}

function drawing({ nets, boxes, lines }: GraphLayout): string[] {
  return [
    ...lines.map(({ points }) => {
      const way = points.map(({ x, y }) => `${n(x)},${n(y)}`).join(' ');
      return `<polyline class="wire" points="${way}"/>`;
    }),
    ...nets.flatMap((each) => [
      frame(each, `net${each.net.asked ? ' asked' : ''}`, each.height / 2),
      ...texts(each, each.texts),
    ]),
    ...boxes.flatMap((each) => [
      frame(each, `${each.box.what}${each.box.asked ? ' asked' : ''}`, 2),
      ...texts(each, each.texts),
    ]),
    ...lines.flatMap(({ label }) =>
      label === undefined
        ? []
        : [
            `<text class="pin" x="${n(label.x)}" y="${n(label.y + FONT / 3)}" text-anchor="middle">${escapeHtml(label.text)}</text>`,
          ],
    ),
  ];
}

function frame({ x, y, width, height }: Box, kind: string, round: number): string {
  const radius = Math.min(round, 12);
  return `<rect class="${kind}" x="${n(x - width / 2)}" y="${n(y - height / 2)}" width="${n(width)}" height="${n(height)}" rx="${n(radius)}"/>`;
}

function texts({ x, y }: Box, lines: readonly TextLine[]): string[] {
  const start = y - ((lines.length - 1) * LINE_HEIGHT) / 2 + FONT / 3;
  return lines.map(({ text, strong }, i) => {
    const kind = strong ? ' class="name"' : '';
    return `<text${kind} x="${n(x)}" y="${n(start + i * LINE_HEIGHT)}" text-anchor="middle">${escapeHtml(text)}</text>`;
  });
}

function n(value: number): string {
  return String(Number(value.toFixed(1)));
}
