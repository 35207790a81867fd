import type { Board } from '../../board/model.ts';
import { partName } from '../names.ts';
import type { PictureView, PlaceView, Side } from '../picture/model.ts';
import { partPlace } from './neighbours.ts';
import type { Spot } from './view.ts';

/** Shown above and below what is sought, mm: enough for a person to know the corner again. */
const ROUND_MM = 10;
/** A map is so many times as wide as it is high, as a terminal is. */
const WIDE = 1.9;

/** Signs of what is sought; none is told apart by colour. */
export const SIGNS = { red: '●', black: '○', sought: '●' } as const;

/** The corner of the board where some spots are, with the parts round them; none where too few places are known. */
export function viewCorner(board: Board, spots: readonly Spot[]): PictureView | undefined {
  const marks = spots.flatMap((spot): Marked[] => {
    const { view, part } = spot;
    if (view.at === undefined) return [];
    const side = board.parts[part]?.side ?? 'top';
    const sign = SIGNS[view.probe ?? 'sought'];
    const next = view.probe === undefined ? [] : [view.probe];
    const place = {
      name: nameOf(board, spot),
      part: partName(board, part),
      at: view.at,
      sign,
      next,
    };
    return [{ place, side, owner: part }];
  });
  if (marks.length === 0) return undefined;
  const y = windowOf(
    marks.map(({ place }) => place.at[1]),
    0,
  );
  const x = windowOf(
    marks.map(({ place }) => place.at[0]),
    WIDE * (y[1] - y[0]),
  );
  const own = new Set(marks.map(({ owner }) => owner));
  const around = board.parts
    .filter(({ index }) => !own.has(index))
    .flatMap(({ index, side }): Marked[] => {
      const at = partPlace(board, index);
      if (at === undefined || !isIn(at[0], x) || !isIn(at[1], y)) return [];
      const name = partName(board, index);
      return [{ place: { name, part: name, at, next: [] }, side: side ?? 'top', owner: index }];
    });
  const all = [...marks, ...around];
  const sides = (['top', 'bottom'] as const)
    .filter((side) => marks.some((mark) => mark.side === side))
    .map((side) => ({
      side,
      places: all.filter((one) => one.side === side).map(({ place }) => place),
    }));
  // A lone mark shows nobody where it is.
  if (sides.every(({ places }) => places.length < 2)) return undefined;
  return {
    rail: '',
    plus: '',
    minus: '',
    frame: frameOf(sides.flatMap(({ places }) => places)),
    sides,
    readings: [],
    suspects: [],
    unplaced: [],
  };
}

/** A part with one pad goes by its name alone. */
function nameOf(board: Board, { view, part }: Spot): string {
  const isOnePad = board.parts[part]?.pins.length === 1;
  return isOnePad ? partName(board, part) : (view.pad ?? view.point);
}

interface Marked {
  readonly place: PlaceView;
  readonly side: Side;
  readonly owner: number;
}

/** All the values with room round them, `least` mm at least. */
function windowOf(values: readonly number[], least: number): readonly [number, number] {
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const more = Math.max(ROUND_MM, (least - (high - low)) / 2);
  return [low - more, high + more];
}

function isIn(value: number, [low, high]: readonly [number, number]): boolean {
  return value >= low && value <= high;
}

function frameOf(places: readonly PlaceView[]): NonNullable<PictureView['frame']> {
  const range = (axis: 0 | 1): [number, number] => {
    const all = places.map(({ at }) => at[axis]);
    return [Math.min(...all), Math.max(...all)];
  };
  return { x: range(0), y: range(1) };
}
