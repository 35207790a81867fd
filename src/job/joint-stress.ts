/** What wears on the joints of a part: why they would be the next to fail, and how much each cause counts. */
import type { Board, Part } from '../board/model.ts';
import { mountOf } from '../steps/bench-times.ts';
import { partGrams } from './part-mass.ts';

export interface Stress {
  /** `on a heatsink`, `some 14 g`. */
  readonly cause: string;
  /** Ours: how much likelier such a joint fails, in steps that add up. */
  readonly points: number;
}

const SURFACE = new Set(['chip', 'small outline', 'fine pitch', 'thermal pad', 'ball grid']);
/** By kind. */
const FORCED: ReadonlyMap<string, Stress> = new Map([
  ['connector', { cause: 'plugged and pulled', points: 3 }],
  ['switch', { cause: 'worked by hand', points: 3 }],
  ['potentiometer', { cause: 'worked by hand', points: 3 }],
  ['relay', { cause: 'knocks, and gets warm', points: 2 }],
]);
const SCREWED = /screw|stud|terminal|MKDS|TERM_|XT\d|lug/i;
const HOLDER = /holder|bolt/i;
const POWER_RESISTOR = /axial ([1-9]\d*) ?W|\b([2-9]|1\d) ?W\b|2512|4026|cement|wirewound/i;
const HOT_KINDS = /^(regulator|bridge-rectifier|igbt|scr|triac)$|mosfet/;
const POWER_PACKAGE = /TO-?\d|D-?PAK|D2PAK|KB[UPL]|GBU|DO-?201/i;
/** Pins on a net from which its copper drinks so much heat that a joint may never have flowed well. */
const HEAVY_PINS = 20;

/** Causes that lie in the part and its place on the board, the strongest first. */
export function stressOf(board: Board, part: Part): Stress[] {
  const { kind, heatsink, package: shape = '', text = '', failsFirst } = part;
  const found: Stress[] = [];
  const add = (points: number, cause: string): number => found.push({ cause, points });
  if (heatsink !== undefined) add(4, 'on a heatsink, which levers and heats');
  const grams = partGrams(part);
  const heavy = grams >= 40 ? 4 : grams >= 12 ? 3 : grams >= 4 ? 2 : grams >= 1.5 ? 1 : 0;
  if (heavy > 0)
    add(heavy, `some ${grams >= 10 ? 5 * Math.round(grams / 5) : Math.round(grams)} g`);
  const forced = part.pins.length < 2 ? undefined : FORCED.get(kind.name);
  if (forced !== undefined) {
    const isScrewed = SCREWED.test(`${shape} ${text}`);
    add(
      isScrewed ? forced.points + 2 : forced.points,
      isScrewed ? 'screwed down and pulled at' : forced.cause,
    );
  }
  if (kind.name === 'fuse' && HOLDER.test(`${shape} ${text}`)) add(3, 'fuse pushed in and out');
  if (kind.name === 'resistor' && POWER_RESISTOR.test(`${shape} ${text}`)) add(3, 'hot in use');
  else if (heatsink === undefined && HOT_KINDS.test(kind.name) && POWER_PACKAGE.test(shape))
    add(2, 'warm in use');
  else if (kind.name === 'transformer') add(1, 'warm in use');
  if (kind.name === 'electrolytic' && !isSurface(part)) add(1, 'legs age with the electrolyte');
  if (failsFirst) add(1, 'known to fail first');
  if (found.length > 0 && !isSurface(part) && isOnHeavyCopper(board, part)) {
    add(1, 'on heavy copper');
  }
  return found.sort((a, b) => b.points - a.points);
}

function isSurface(part: Part): boolean {
  return SURFACE.has(mountOf(part));
}

function isOnHeavyCopper(board: Board, { pins }: Part): boolean {
  return pins.some((pin) => {
    const net = board.pins[pin]?.net ?? -1;
    return (board.nets[net]?.pins.length ?? 0) >= HEAVY_PINS;
  });
}
