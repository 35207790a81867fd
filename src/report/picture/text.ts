import { columnsOf } from '../../board/shown-text.ts';
import type { Style } from '../style.ts';
import { counted, listOf, percent, sentence } from '../words.ts';
import { GLUE, labelled, wrap } from '../wrap.ts';
import { type Grid, layGrid, SHADES, scaleOf } from './grid.ts';
import { loneLetters } from './labels.ts';
import { NAMED_WEIGHT, type PictureReading, type PictureView, type SideView } from './model.ts';

/** ` 112│ `, at the left of each row; no board reaches farther than 9999 mm. */
const AXIS = 7;

/** The picture as text: a map of each side, then all it shows in words. */
export function pictureLines(view: PictureView, style: Style): string[] {
  const { width, palette } = style;
  const { lines, grids, keys } = mapLines(view, style);
  return [
    ...wrap(headText(view), width).map(palette.strong),
    ...(grids.length === 0 ? [] : ['', ...lines, '', ...signLines(view, grids, style)]),
    ...nextLines(view, style),
    ...letterLines(view, keys, style),
    ...readingLines(view, keys, style),
    ...suspectLines(view, keys, style),
    ...unplacedLines(view, style),
  ];
}

/** The maps alone, of so many rows at most, with what is needed to tell of them. */
export function mapLines(
  view: PictureView,
  style: Style,
  mostRows?: number,
): {
  readonly lines: readonly string[];
  readonly grids: readonly { readonly side: SideView; readonly grid: Grid }[];
  /** Letters that stand for places, by the name of the place. */
  readonly keys: ReadonlyMap<string, string>;
} {
  const scale = scaleOf(view, style.width - AXIS, mostRows);
  const grids: { side: SideView; grid: Grid }[] = [];
  let used = 0;
  for (const side of scale === undefined ? [] : view.sides) {
    const grid = layGrid(view, side, scale as NonNullable<typeof scale>, used);
    used += new Set(grid.keys.values()).size;
    grids.push({ side, grid });
  }
  const lines = grids.flatMap(({ side, grid }, index) => [
    ...(index === 0 ? [] : ['']),
    ...sideLines(view, side, grid, style),
  ]);
  return { lines, grids, keys: new Map(grids.flatMap(({ grid }) => [...grid.keys])) };
}

function headText(view: PictureView): string {
  const places = view.sides.reduce((sum, side) => sum + side.places.length, 0);
  return `Rail ${view.rail}: ${view.plus} against ${view.minus}, ${counted(places, 'place')}, ${counted(view.readings.length, 'reading')}`;
}

function sideLines(view: PictureView, { side }: SideView, grid: Grid, style: Style): string[] {
  const turned = side === 'bottom';
  const title = turned
    ? 'Bottom, as it lies when the board is turned over: x runs from right to left'
    : view.sides.length > 1
      ? 'Top'
      : 'Seen from the top';
  const [left = 0, right = 0] = view.frame?.x ?? [];
  const last = grid.rows.length - 1;
  const marks = new Map([
    [0, String(Math.round(grid.y[0]))],
    [last, String(Math.round(grid.y[1]))],
  ]);
  const rows = grid.rows.map((row, index) => {
    const mark = (marks.get(index) ?? '').padStart(AXIS - 2);
    return `${style.palette.quiet(`${mark}│`)} ${row}`.trimEnd();
  });
  const [from, to] = turned ? [right, left] : [left, right];
  const axis = `y mm, x ${mm(from)} to ${mm(to)} mm from left to right`;
  return [
    ...wrap(title, style.width),
    ...rows,
    ...wrap(axis, style.width).map(style.palette.quiet),
  ];
}

function mm(value: number): string {
  return String(Number(value.toFixed(1)));
}

/** Only the signs that are there. */
function signLines(
  view: PictureView,
  grids: readonly { readonly grid: Grid }[],
  style: Style,
): string[] {
  const shown = grids.map(({ grid }) => grid.rows.join('')).join('');
  const hidden = grids.reduce((sum, { grid }) => sum + grid.hidden, 0);
  const signs = [
    ...(view.shaded === undefined
      ? []
      : [`█${GLUE}▓${GLUE}▒${GLUE}░${GLUE}from nearest the short to farthest: ${view.shaded}`]),
    ...(shown.includes('?') ? [`?${GLUE}suspect, not read`] : []),
    ...(shown.includes('·') ? [`·${GLUE}on the rail`] : []),
    ...(hidden > 0 ? [`${counted(hidden, 'more place')} at signs of others, : where several`] : []),
    ...(grids.some(({ grid }) => grid.keys.size > 0) ? ['letters: named below'] : []),
  ];
  return labelled('Signs', signs.join('; '), INDENT, style.width).map(style.palette.quiet);
}

const INDENT = 10;

function nextLines({ next }: PictureView, style: Style): string[] {
  if (next === undefined) return [];
  return labelled('Next', next.text, INDENT, style.width).map(style.palette.strong);
}

function letterLines(view: PictureView, keys: ReadonlyMap<string, string>, style: Style): string[] {
  const lone = loneLetters(view, keys);
  return lone.length === 0 ? [] : labelled('Letters', lone.join('; '), INDENT, style.width);
}

/** Every reading on one line; in columns where the width allows. */
function readingLines(
  view: PictureView,
  keys: ReadonlyMap<string, string>,
  style: Style,
): string[] {
  if (view.readings.length === 0) return labelled('Readings', NONE_YET, INDENT, style.width);
  const first = view.readings.filter(({ shade }) => shade !== undefined);
  const rest = view.readings.filter(({ shade }) => shade === undefined);
  const column = (rows: readonly PictureReading[]): string[] =>
    inColumns(
      rows.map((each) => readingText(each, keys)),
      style.width,
    );
  return [
    ...(first.length === 0
      ? []
      : wrap(`${sentence(view.shaded ?? '')}, nearest the short first:`, style.width)),
    ...column(first),
    ...(rest.length === 0 ? [] : [first.length === 0 ? 'Readings:' : 'Other readings:']),
    ...column(rest),
  ];
}

const NONE_YET =
  'none in milliohms or millivolts yet; read a part from pad to pad, e.g. C12.1 C12.2 34 mohm';

function readingText(reading: PictureReading, keys: ReadonlyMap<string, string>): string {
  const { id, red, black, text, shade, place, notes } = reading;
  const key = (place === undefined ? undefined : keys.get(place)) ?? '';
  const sign = shade === undefined ? ' ' : SHADES[shade];
  const note = notes.length === 0 ? '' : `, ${notes.join(', ')}`;
  return `${key.padStart(2)} ${sign} ${red} ${black}  ${text} (event ${id}${note})`;
}

/** Down the columns, as many as fit. */
function inColumns(texts: readonly string[], width: number): string[] {
  const widest = Math.max(1, ...texts.map((text) => columnsOf(text)));
  const columns = Math.max(1, Math.min(texts.length, Math.floor((width + 3) / (widest + 3))));
  if (columns === 1) return texts.flatMap((text) => hung(text, width));
  const rows = Math.ceil(texts.length / columns);
  return Array.from({ length: rows }, (_, row) =>
    Array.from({ length: columns }, (__, column) => texts[column * rows + row] ?? '')
      .map((text) => text + ' '.repeat(widest - columnsOf(text)))
      .join('   ')
      .trimEnd(),
  );
}

/** Key and sign stand in a margin of their own. */
function hung(text: string, width: number): string[] {
  return wrap(text.slice(MARGIN), width - MARGIN).map(
    (line, index) => (index === 0 ? text.slice(0, MARGIN) : ' '.repeat(MARGIN)) + line,
  );
}

const MARGIN = 5;

function suspectLines(
  { suspects }: PictureView,
  keys: ReadonlyMap<string, string>,
  style: Style,
): string[] {
  if (suspects.length === 0) return [];
  const named = suspects.filter(({ weight }) => weight >= NAMED_WEIGHT);
  const rest = suspects.length - named.length;
  const texts = named.map(({ part, weight }) => {
    const key = keys.get(part);
    return `${key === undefined ? '' : `${key}${GLUE}`}${part}${GLUE}${percent(weight)}`;
  });
  const lighter =
    rest === 0 ? [] : [`${counted(rest, 'part')} under ${percent(NAMED_WEIGHT)} each`];
  return labelled('Suspects', listOf([...texts, ...lighter], 24), INDENT, style.width);
}

function unplacedLines({ unplaced }: PictureView, style: Style): string[] {
  const [first] = unplaced;
  if (first === undefined) return [];
  const text = `${listOf(unplaced, 12)}. To place one: “at ${first} 31.5 20”, in mm`;
  return labelled('No place', text, INDENT, style.width);
}
