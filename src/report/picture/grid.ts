import { columnsOf } from '../../board/shown-text.ts';
import { compareNotable, isNotable, keyNumber, labelOf } from './labels.ts';
import type { PictureView, PlaceView, Shade, SideView } from './model.ts';

/** Signs of the shades, lightest first; they need no colour. */
export const SHADES: Readonly<Record<Shade, string>> = { 1: '░', 2: '▒', 3: '▓', 4: '█' };

/** One side of a rail laid out in characters. */
export interface Grid {
  /** Rows of equal width, top first. */
  readonly rows: readonly string[];
  /** mm at the middle of the first and the last row. */
  readonly y: readonly [number, number];
  /** Letters that stand for places on this side, by the name of the place. */
  readonly keys: ReadonlyMap<string, string>;
  /** Places that share their character with another, and are not named. */
  readonly hidden: number;
}

/** mm to a character, and how many of them there are. */
export interface Scale {
  readonly mmPerColumn: number;
  readonly columns: number;
  readonly rows: number;
}

/** A character is about twice as high as wide. */
const ROW_OVER_COLUMN = 2;
/** Room at the right for the labels of what lies there. */
const LABEL_ROOM = 16;
const MOST_ROWS = 40;

/** One scale for both sides, so that they can be compared. */
export function scaleOf(
  { frame }: PictureView,
  width: number,
  mostRows: number = MOST_ROWS,
): Scale | undefined {
  if (frame === undefined) return undefined;
  const [wide, high] = [frame.x[1] - frame.x[0], frame.y[1] - frame.y[0]];
  const room = Math.max(10, width - LABEL_ROOM);
  const mm = Math.max(wide / (room - 1), high / (ROW_OVER_COLUMN * (mostRows - 1)), 0.05);
  return {
    mmPerColumn: mm,
    columns: width,
    rows: Math.floor(high / (ROW_OVER_COLUMN * mm)) + 1,
  };
}

/**
 * Lays one side out: every place first, as a sign in its cell, then the labels of what matters, most
 * important first, where there is room beside the sign. What has no room is a letter, told of below.
 * The bottom is shown as it lies when the board is turned over: x runs from right to left.
 * @param used  letters given away on the other side
 */
export function layGrid(
  view: PictureView,
  { side, places }: SideView,
  scale: Scale,
  used: number,
): Grid {
  const cells = cellsOf(view, side, places, scale);
  const canvas = new Canvas(scale);
  for (const cell of cells) canvas.put(cell.row, cell.column, signOf(cell.places));
  const keys = new Map<string, string>();
  const notable = cells
    .map((cell) => ({ ...cell, told: cell.places.filter(isNotable).toSorted(compareNotable) }))
    .filter(({ told }) => told.length > 0)
    .sort((a, b) => compareNotable(a.told[0] as PlaceView, b.told[0] as PlaceView));
  for (const { row, column, told } of notable) {
    const [only] = told;
    const label = told.length === 1 && only !== undefined ? labelOf(only) : undefined;
    if (label !== undefined && canvas.beside(row, column, label)) continue;
    const key = keyNumber(used + new Set(keys.values()).size);
    // Two letters would not fit where one sign stands; the list below names the place all the same.
    if (key.length > 1) continue;
    if (!canvas.beside(row, column, key)) canvas.put(row, column, key);
    for (const { name } of told) keys.set(name, key);
  }
  let hidden = 0;
  for (const { row, column, places: own } of cells) {
    const plain = own.filter((place) => !isNotable(place));
    const [only] = plain;
    if (own.length > 1) hidden += plain.length;
    else if (only !== undefined) canvas.beside(row, column, only.name);
  }
  return { ...canvas.cropped(view, scale), keys, hidden };
}

interface Cell {
  readonly row: number;
  readonly column: number;
  readonly places: readonly PlaceView[];
}

function cellsOf(
  { frame }: PictureView,
  side: SideView['side'],
  places: readonly PlaceView[],
  { mmPerColumn, rows }: Scale,
): Cell[] {
  const cells = new Map<string, { row: number; column: number; places: PlaceView[] }>();
  for (const place of places) {
    const [x, y] = place.at;
    const [left = 0, right = 0] = frame?.x ?? [];
    const across = side === 'bottom' ? right - x : x - left;
    const column = Math.round(across / mmPerColumn);
    const down = ((frame?.y[1] ?? y) - y) / (ROW_OVER_COLUMN * mmPerColumn);
    const row = Math.min(rows - 1, Math.round(down));
    const key = `${row} ${column}`;
    const cell = cells.get(key) ?? { row, column, places: [] };
    cell.places.push(place);
    cells.set(key, cell);
  }
  return [...cells.values()].sort((a, b) => a.row - b.row || a.column - b.column);
}

/** What is sought, else the darkest reading, else suspect, else how many. */
function signOf(places: readonly PlaceView[]): string {
  const sought = places.flatMap(({ sign }) => sign ?? []);
  if (sought.length > 0) return sought[0] ?? '·';
  const shade = Math.max(0, ...places.map(({ value }) => value?.shade ?? 0));
  if (shade > 0) return SHADES[shade as Shade];
  if (places.some(({ weight }) => weight !== undefined)) return '?';
  return places.length > 1 ? ':' : '·';
}

/** Characters in rows; what is taken stays taken. */
class Canvas {
  readonly #rows: (string | undefined)[][];
  readonly #columns: number;

  constructor({ rows, columns }: Scale) {
    this.#columns = columns;
    this.#rows = Array.from({ length: rows }, () => new Array<string | undefined>(columns));
  }

  put(row: number, column: number, sign: string): void {
    const cells = this.#rows[row];
    if (cells !== undefined) cells[column] = sign;
  }

  /** Writes beside a sign, right of it or else left, with a blank to whatever stands next. */
  beside(row: number, column: number, label: string): boolean {
    const letters = [...label];
    const length = columnsOf(label);
    if (length !== letters.length) return false;
    for (const [from, blank] of [
      [column + 1, column + 1 + length],
      [column - length, column - length - 1],
    ] as const) {
      if (!this.#isFree(row, from, length, blank)) continue;
      for (const [index, letter] of letters.entries()) this.put(row, from + index, letter);
      return true;
    }
    return false;
  }

  #isFree(row: number, from: number, length: number, blank: number): boolean {
    if (from < 0 || from + length > this.#columns) return false;
    const cells = this.#rows[row] ?? [];
    for (let at = from; at < from + length; at += 1) if (cells[at] !== undefined) return false;
    return cells[blank] === undefined;
  }

  /** Without the empty rows above and below. */
  cropped({ frame }: PictureView, { mmPerColumn }: Scale): Pick<Grid, 'rows' | 'y'> {
    const rows = this.#rows.map((cells) =>
      Array.from(cells, (cell) => cell ?? ' ')
        .join('')
        .trimEnd(),
    );
    const first = rows.findIndex((row) => row !== '');
    const last = rows.findLastIndex((row) => row !== '');
    const top = frame?.y[1] ?? 0;
    const mmAt = (row: number): number => top - row * ROW_OVER_COLUMN * mmPerColumn;
    return { rows: rows.slice(first, last + 1), y: [mmAt(first), mmAt(last)] };
  }
}
