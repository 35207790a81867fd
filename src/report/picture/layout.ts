import { columnsOf } from '../../board/shown-text.ts';
import { compareNotable, isNotable, keyNumber, labelOf } from './labels.ts';
import type { PictureView, PlaceView, SideView } from './model.ts';

/** One side of a rail laid out for drawing, in units of which the page is {@link PAGE_WIDTH} wide. */
export interface Panel {
  readonly width: number;
  readonly height: number;
  readonly marks: readonly Mark[];
  readonly labels: readonly Label[];
  /** Letters that stand for places, by the name of the place. */
  readonly keys: ReadonlyMap<string, string>;
}

/** A place, or several too near each other to draw apart. */
export interface Mark extends Circle {
  /** What matters here, most important first. */
  readonly told: readonly PlaceView[];
  readonly places: readonly PlaceView[];
  /** Written into the mark when there was no room beside it. */
  readonly key?: string;
}

export interface Label extends Box {
  readonly text: string;
  readonly isPlain: boolean;
  /** From the mark to a label that stands off from it. */
  readonly leader?: readonly [number, number, number, number];
}

interface Circle {
  readonly x: number;
  readonly y: number;
  readonly r: number;
}

/** `x` and `y` of the upper left corner. */
interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export const PAGE_WIDTH = 1000;
/** Kept free round the places for marks and labels. */
const EDGE = 90;
/** Both sides stay on one sheet of A4, with the list below where that is short. */
const HIGHEST = { one: 950, each: 560 };
/** Largest scale, units to the mm: a rail of a few parts need not fill the page. */
const MOST_PER_MM = 24;

const TOLD_RADIUS = 9;
const PLAIN_RADIUS = 4;
/** Line height and width of a character, generous, so that no font runs a label into the next. */
const TOLD_TEXT = { height: 17, letter: 8.6 };
const PLAIN_TEXT = { height: 13, letter: 7 };
const GAP = 3;

/** Lays one side out; the bottom mirrored, as it lies when the board is turned over. */
export function layPanel(view: PictureView, { side, places }: SideView, used: number): Panel {
  const [left = 0, right = 0] = view.frame?.x ?? [];
  const [low = 0, high = 0] = view.frame?.y ?? [];
  const perMm = Math.min(
    MOST_PER_MM,
    (PAGE_WIDTH - 2 * EDGE) / Math.max(right - left, 1e-9),
    (view.sides.length > 1 ? HIGHEST.each : HIGHEST.one) / Math.max(high - low, 1e-9),
  );
  const own = places.map(({ at }) => at[1]);
  const top = Math.max(...own);
  const drawn = (right - left) * perMm;
  const start = (PAGE_WIDTH - drawn) / 2;
  const spot = ({ at }: PlaceView): { x: number; y: number } => ({
    x: start + (side === 'bottom' ? right - at[0] : at[0] - left) * perMm,
    y: EDGE / 2 + (top - at[1]) * perMm,
  });
  const height = EDGE + (top - Math.min(...own)) * perMm;
  return { width: PAGE_WIDTH, height, ...labelled(marksOf(places, spot), height, used) };
}

/** What matters first; a place that would touch a mark already there joins it. */
function marksOf(
  places: readonly PlaceView[],
  spot: (place: PlaceView) => { readonly x: number; readonly y: number },
): Mark[] {
  const told = places.filter(isNotable).toSorted(compareNotable);
  const plain = places.filter((place) => !isNotable(place));
  const marks: { x: number; y: number; r: number; told: PlaceView[]; places: PlaceView[] }[] = [];
  for (const [list, r] of [
    [told, TOLD_RADIUS],
    [plain, PLAIN_RADIUS],
  ] as const) {
    for (const place of list) {
      const { x, y } = spot(place);
      const near = marks.find((mark) => Math.hypot(mark.x - x, mark.y - y) < mark.r + r + GAP);
      if (near === undefined) {
        marks.push({ x, y, r, told: r === TOLD_RADIUS ? [place] : [], places: [place] });
        continue;
      }
      near.places.push(place);
      if (r === TOLD_RADIUS) near.told.push(place);
    }
  }
  return marks;
}

/** Labels beside their marks where there is room, letters in the marks where there is none. */
function labelled(
  marks: readonly Mark[],
  height: number,
  used: number,
): Pick<Panel, 'marks' | 'labels' | 'keys'> {
  const labels: Label[] = [];
  const keys = new Map<string, string>();
  const shown = marks.map((mark): Mark => {
    const [only] = mark.told;
    if (only === undefined) return mark;
    const lone = mark.told.length === 1 ? labelFor(mark, labelOf(only), false) : [];
    const label = lone.find((one) => isFree(one, mark, marks, labels, height));
    if (label !== undefined) {
      labels.push(label);
      return mark;
    }
    const key = keyNumber(used + new Set(keys.values()).size);
    for (const { name } of mark.told) keys.set(name, key);
    return { ...mark, key };
  });
  for (const mark of marks) {
    const [only] = mark.places;
    if (mark.told.length > 0 || mark.places.length > 1 || only === undefined) continue;
    const label = labelFor(mark, only.name, true).find((one) =>
      isFree(one, mark, marks, labels, height),
    );
    if (label !== undefined) labels.push(label);
  }
  return { marks: shown, labels, keys };
}

/** Right, left, above, below, then the corners, then the same farther off with a line to it. */
function labelFor(mark: Mark, text: string, isPlain: boolean): Label[] {
  const { height, letter } = isPlain ? PLAIN_TEXT : TOLD_TEXT;
  const width = columnsOf(text) * letter + GAP;
  const ring = isPlain ? 0 : 4;
  const near = DIRECTIONS.slice(0, isPlain ? 4 : 8).map((way) =>
    boxAt(mark, way, mark.r + ring + GAP, { width, height }),
  );
  const far = isPlain
    ? []
    : [20, 36, 54].flatMap((off) =>
        DIRECTIONS.map((way) => {
          const box = boxAt(mark, way, mark.r + off, { width, height });
          return { ...box, leader: leaderTo(mark, box) };
        }),
      );
  return [...near, ...far].map((box) => ({ ...box, text, isPlain }));
}

const DIAGONAL = Math.SQRT1_2;

const DIRECTIONS: readonly (readonly [number, number])[] = [
  [1, 0],
  [-1, 0],
  [0, -1],
  [0, 1],
  [DIAGONAL, -DIAGONAL],
  [-DIAGONAL, -DIAGONAL],
  [DIAGONAL, DIAGONAL],
  [-DIAGONAL, DIAGONAL],
];

function boxAt(
  { x, y }: Circle,
  [across, down]: readonly [number, number],
  off: number,
  { width, height }: Pick<Box, 'width' | 'height'>,
): Box {
  const [px, py] = [x + across * off, y + down * off];
  return {
    x: across > 0.1 ? px : across < -0.1 ? px - width : px - width / 2,
    y: down > 0.1 ? py : down < -0.1 ? py - height : py - height / 2,
    width,
    height,
  };
}

function leaderTo({ x, y, r }: Circle, box: Box): [number, number, number, number] {
  const tx = Math.min(Math.max(x, box.x), box.x + box.width);
  const ty = Math.min(Math.max(y, box.y), box.y + box.height);
  const length = Math.hypot(tx - x, ty - y) || 1;
  return [x + ((tx - x) * r) / length, y + ((ty - y) * r) / length, tx, ty];
}

function isFree(
  label: Label,
  mark: Mark,
  marks: readonly Mark[],
  labels: readonly Label[],
  height: number,
): boolean {
  if (label.x < 0 || label.y < 0) return false;
  if (label.x + label.width > PAGE_WIDTH || label.y + label.height > height) return false;
  // Rings and their gap belong to a mark.
  const around = (other: Mark): number => other.r + (other.told.length > 0 ? 5 : 1);
  if (marks.some((other) => other !== mark && touches(other, around(other), label))) return false;
  if (labels.some((other) => overlap(other, label))) return false;
  const points = pointsOn(label.leader);
  if (labels.some((other) => points.some(([x, y]) => isIn(x, y, other)))) return false;
  if (labels.some((other) => pointsOn(other.leader).some(([x, y]) => isIn(x, y, label))))
    return false;
  return !marks.some(
    (other) =>
      other !== mark &&
      points.some(([x, y]) => Math.hypot(other.x - x, other.y - y) < around(other)),
  );
}

function touches({ x, y }: Circle, r: number, box: Box): boolean {
  const dx = x - Math.min(Math.max(x, box.x), box.x + box.width);
  const dy = y - Math.min(Math.max(y, box.y), box.y + box.height);
  return Math.hypot(dx, dy) < r;
}

function overlap(a: Box, b: Box): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

function isIn(x: number, y: number, box: Box): boolean {
  return x > box.x && x < box.x + box.width && y > box.y && y < box.y + box.height;
}

/** Close enough together that no mark or letter slips between two. */
function pointsOn(line: Label['leader']): (readonly [number, number])[] {
  if (line === undefined) return [];
  const [x1, y1, x2, y2] = line;
  return Array.from({ length: 17 }, (_, i) => [
    x1 + ((x2 - x1) * i) / 16,
    y1 + ((y2 - y1) * i) / 16,
  ]);
}
