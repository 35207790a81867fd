/** Draws a body with letters, or with lines for a sheet; both from one set of figures. */
import type { Drawing, Shape } from './drawings.ts';

/** The drawing as lines of plain ASCII, no wider than its grid. */
export function drawText({ width, height, shapes }: Drawing): string[] {
  const cells = Array.from({ length: height }, () => new Array<string>(width).fill(' '));
  const put = (x: number, y: number, text: string): void => {
    const row = cells[y];
    if (row === undefined) return;
    [...text].forEach((char, k) => {
      if (x + k >= 0 && x + k < width) row[x + k] = char;
    });
  };
  for (const shape of shapes) paint(shape, put);
  return cells.map((row) => row.join('').trimEnd());
}

function paint(shape: Shape, put: (x: number, y: number, text: string) => void): void {
  switch (shape.draw) {
    case 'box': {
      const { x, y, w, h } = shape;
      const edge = `+${'-'.repeat(w - 2)}+`;
      put(x, y, edge);
      for (let row = y + 1; row < y + h - 1; row += 1) {
        put(x, row, '|');
        put(x + w - 1, row, '|');
      }
      put(x, y + h - 1, edge);
      return;
    }
    case 'mark':
      for (let row = 0; row < shape.h; row += 1) put(shape.x, shape.y + row, '#'.repeat(shape.w));
      return;
    case 'across':
      put(shape.x, shape.y, '-'.repeat(shape.length));
      return;
    case 'down':
      for (let row = 0; row < shape.length; row += 1) put(shape.x, shape.y + row, '|');
      return;
    case 'dot':
      put(shape.x, shape.y, 'o');
      return;
    case 'words':
      put(shape.x, shape.y, shape.text);
  }
}

/** Size of one cell of the grid on a sheet, in the sheet's units. */
const CELL_WIDTH = 8;
const CELL_HEIGHT = 16;

/** Size of a drawing on a sheet. */
export function drawnSize({ width, height }: Drawing): { width: number; height: number } {
  return { width: width * CELL_WIDTH, height: height * CELL_HEIGHT };
}

/**
 * The drawing as a fragment of SVG: one `g` element moved to x, y, with its own stroke, fill and
 * text size. Put it inside an `svg` element; the colour is the surrounding text's.
 */
export function drawSvg({ shapes }: Drawing, x = 0, y = 0): string {
  const inner = shapes.map(svgOf).join('');
  const style =
    'fill="none" stroke="currentColor" stroke-width="1.5" font-family="monospace" font-size="13"';
  return `<g transform="translate(${x} ${y})" ${style}>${inner}</g>`;
}

/** Lines run through the middle of cells, as letters do. */
function svgOf(shape: Shape): string {
  const x = shape.x * CELL_WIDTH;
  const y = shape.y * CELL_HEIGHT;
  const [midX, midY] = [x + CELL_WIDTH / 2, y + CELL_HEIGHT / 2];
  switch (shape.draw) {
    case 'box': {
      const size = `width="${(shape.w - 1) * CELL_WIDTH}" height="${(shape.h - 1) * CELL_HEIGHT}"`;
      return `<rect x="${midX}" y="${midY}" ${size}/>`;
    }
    case 'mark': {
      const size = `width="${shape.w * CELL_WIDTH}" height="${shape.h * CELL_HEIGHT}"`;
      return `<rect x="${x}" y="${y}" ${size} fill="currentColor"/>`;
    }
    case 'across': {
      const end = x + shape.length * CELL_WIDTH;
      return `<line x1="${x}" y1="${midY}" x2="${end}" y2="${midY}"/>`;
    }
    case 'down': {
      const end = y + shape.length * CELL_HEIGHT;
      return `<line x1="${midX}" y1="${y}" x2="${midX}" y2="${end}"/>`;
    }
    case 'dot':
      return `<circle cx="${midX}" cy="${midY}" r="4"/>`;
    case 'words':
      return `<text x="${x}" y="${midY + 4}" fill="currentColor" stroke="none" xml:space="preserve">${escaped(shape.text)}</text>`;
  }
}

function escaped(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;');
}
