import type { Drawing } from './blocks.ts';
import { escapeHtml } from './escape.ts';
import { BOX_HEIGHT, BOX_WIDTH, type LaidOutBox, layOut } from './layout.ts';

/**
 * A small circuit as SVG in the colours of the page around it. What an element is stands in its box in
 * words; line and hatching say it again.
 * @param id unique on the page; `ID-says` must be the element that tells the same in words
 */
export function drawingSvg(drawing: Drawing, id: string, name: string): string {
  const { width, height, bars, boxes } = layOut(drawing);
  const rows = [
    ...bars.flatMap((bar) => [
      `<line class="bar" x1="${bar.x1}" y1="${bar.y}" x2="${bar.x2}" y2="${bar.y}"/>`,
      `<text class="net" x="${bar.x1 - 10}" y="${bar.y + 5}" text-anchor="end">${escapeHtml(bar.name)}</text>`,
    ]),
    ...boxes.flatMap(boxRows),
  ];
  return [
    `<svg role="img" aria-labelledby="${id}-title" aria-describedby="${id}-says" viewBox="0 0 ${width} ${height}" style="max-width:${width}px">`,
    `<title id="${id}-title">${escapeHtml(name)}</title>`,
    ...rows,
    '</svg>',
  ].join('\n');
}

function boxRows(box: LaidOutBox): string[] {
  const { element, x, y } = box;
  const { standing, lines } = element;
  const [left, upper] = [x - BOX_WIDTH / 2, y - BOX_HEIGHT / 2];
  const rect = (inset: number, kind: string): string =>
    `<rect class="${kind}" x="${left + inset}" y="${upper + inset}" width="${BOX_WIDTH - 2 * inset}" height="${BOX_HEIGHT - 2 * inset}" rx="3"/>`;
  return [
    ...wires(box),
    rect(0, `box ${standing}`),
    // A failed part has a double border, so that it stands out in print as well.
    ...(standing === 'failed' ? [rect(4, 'inner')] : []),
    ...lines.map((line, k) => {
      const at = y + 5 + (k - (lines.length - 1) / 2) * 17;
      const kind = k === 0 ? 'name' : 'more';
      return `<text class="${kind}" x="${x}" y="${at}" text-anchor="middle"${fitted(line)}>${escapeHtml(line)}</text>`;
    }),
    ...wireEnds(box).flatMap(({ y: end, isOpen }) => (isOpen ? [] : [dot(x, end)])),
  ];
}

/** From the box to its two nets; a leg in the air leaves a gap before its net, bent aside. */
function wires(box: LaidOutBox): string[] {
  const { x, y } = box;
  return wireEnds(box).map(({ y: end, isOpen }) => {
    const edge = end < y ? y - BOX_HEIGHT / 2 : y + BOX_HEIGHT / 2;
    const stop = end < y ? end + GAP : end - GAP;
    const path = isOpen ? `M${x} ${edge}L${x + 12} ${stop}` : `M${x} ${edge}L${x} ${end}`;
    return `<path class="wire" d="${path}"/>`;
  });
}

const GAP = 10;

function wireEnds({ element, top, bottom }: LaidOutBox): { y: number; isOpen: boolean }[] {
  const { from, to, gap } = element;
  const upper = from < to ? 'from' : 'to';
  return [
    { y: top, isOpen: gap === upper },
    { y: bottom, isOpen: gap !== undefined && gap !== upper },
  ];
}

function dot(x: number, y: number): string {
  return `<circle class="dot" cx="${x}" cy="${y}" r="4"/>`;
}

/** Text wider than its box is drawn together. */
function fitted(line: string): string {
  const room = BOX_WIDTH - 16;
  return line.length * 7.2 > room ? ` textLength="${room}" lengthAdjust="spacingAndGlyphs"` : '';
}
