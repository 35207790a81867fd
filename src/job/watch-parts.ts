/** Which parts to keep an eye, a nose and a thermometer on when a board gets power. */
import type { Board, Part } from '../board/model.ts';
import type { RailLoad } from './rail-load.ts';

/** Kinds that turn power to heat when something is wrong, the likeliest first. */
const HEATERS: readonly string[] = [
  'regulator',
  'suppressor',
  'two-way-suppressor',
  'varistor',
  'bridge-rectifier',
  'tantalum',
  'electrolytic',
  'transformer',
];
const TRANSISTOR = /mosfet|igbt|^npn$|^pnp$|^scr$|^triac$/;
const POWER_PACKAGE = /TO-?\d|D2?PAK|DPAK|POWER|LFPAK|SO-?8FL|TDSON|DO-?201|DO-?41|SM[ABC]\b/i;

/** What a stage puts voltage on. */
export interface Surroundings {
  readonly nets: ReadonlySet<number>;
  /** The minus side of its rails. */
  readonly grounds: ReadonlySet<number>;
  /** Parts its voltage passes through. */
  readonly through: readonly number[];
  readonly load: RailLoad | undefined;
}

/**
 * Parts of a stage that must stay cool: those its voltage passes through, those on heatsinks, and what
 * sits across its rails and would heat up if it leaked. Parts that the resistances heat are left out.
 */
export function coolParts(board: Board, around: Surroundings): number[] {
  const warm = new Set(around.load?.heated.map(({ part }) => part));
  const carriers = new Set(around.through);
  const live = new Set(board.rails.map(({ plus }) => plus));
  const ranked = board.parts.flatMap((part) => {
    if (warm.has(part.index)) return [];
    const touches = (nets: ReadonlySet<number>): boolean =>
      part.pins.some((pin) => nets.has(board.pins[pin]?.net ?? -1));
    const rank = carriers.has(part.index) ? 0 : rankOf(part);
    if (rank === undefined || (rank > 0 && !touches(around.nets) && !touches(around.grounds)))
      return [];
    // Most parts stand on ground: of those only ones that carry power, and no other rail's, count.
    const isNear = rank === 0 || touches(around.nets);
    return isNear || (rank <= 1 && !touches(live))
      ? [{ part: part.index, rank: isNear ? rank : 1.5 }]
      : [];
  });
  return ranked.sort((a, b) => a.rank - b.rank || a.part - b.part).map(({ part }) => part);
}

function rankOf({ kind, heatsink, package: shape = '' }: Part): number | undefined {
  if (heatsink !== undefined && kind.name !== 'thermistor') return 1;
  const heater = HEATERS.indexOf(kind.name);
  if (heater >= 0) return 2 + heater / 10;
  if (TRANSISTOR.test(kind.name)) return POWER_PACKAGE.test(shape) ? 1 : 4;
  if (kind.name === 'ic') return 5;
  const rectifies = kind.name === 'diode' || kind.name === 'schottky';
  return rectifies && POWER_PACKAGE.test(shape) ? 3 : undefined;
}
