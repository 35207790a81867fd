import type { Drawing, DrawnElement } from './blocks.ts';

/** A drawing with places, in units of one pixel. */
export interface LaidOut {
  readonly width: number;
  readonly height: number;
  readonly bars: readonly {
    readonly name: string;
    readonly x1: number;
    readonly x2: number;
    readonly y: number;
  }[];
  readonly boxes: readonly LaidOutBox[];
}

export interface LaidOutBox {
  readonly element: DrawnElement;
  /** Middle of the box, and where its wires end. */
  readonly x: number;
  readonly y: number;
  readonly top: number;
  readonly bottom: number;
}

export const BOX_WIDTH = 156;
export const BOX_HEIGHT = 60;
const COLUMN = 174;
const ROW = 112;
const LABEL = 118;
const MARGIN = 22;
/** Room for a net's name per character, at the size names are drawn in. */
const CHARACTER = 8.2;

/**
 * Nets are bars from left to right, elements boxes between two bars. What stands in series shares a
 * column, what lies in parallel stands side by side, and longer elements stand further right, past the
 * end of the bars they pass.
 */
export function layOut({ nets, elements }: Drawing): LaidOut {
  const columns: DrawnElement[][] = [];
  const columnOf = new Map<DrawnElement, number>();
  const order = [...elements].sort((x, y) => lengthOf(x) - lengthOf(y));
  for (const element of order) {
    const free = columns.findIndex((held) => held.every((other) => !overlap(other, element)));
    const at = free < 0 ? columns.push([]) - 1 : free;
    columns[at]?.push(element);
    columnOf.set(element, at);
  }
  const left = Math.max(LABEL, ...nets.map((name) => MARGIN + name.length * CHARACTER));
  const x = (element: DrawnElement): number => left + ((columnOf.get(element) ?? 0) + 0.5) * COLUMN;
  const y = (row: number): number => MARGIN + row * ROW;
  return {
    width: Math.ceil(left + Math.max(1, columns.length) * COLUMN + MARGIN),
    height: y(Math.max(0, nets.length - 1)) + MARGIN,
    bars: nets.map((name, row) => {
      const own = elements.filter(({ from, to }) => from === row || to === row).map(x);
      return { name, x1: left, x2: Math.max(left + COLUMN / 2, ...own) + MARGIN, y: y(row) };
    }),
    boxes: elements.map((element) => {
      const [first, last] = rowsOf(element);
      return {
        element,
        x: x(element),
        y: (y(first) + y(last)) / 2,
        top: y(first),
        bottom: y(last),
      };
    }),
  };
}

function rowsOf({ from, to }: DrawnElement): readonly [number, number] {
  return from < to ? [from, to] : [to, from];
}

function lengthOf(element: DrawnElement): number {
  const [first, last] = rowsOf(element);
  return last - first;
}

function overlap(x: DrawnElement, y: DrawnElement): boolean {
  const [a, b] = rowsOf(x);
  const [c, d] = rowsOf(y);
  return a < d && c < b;
}
