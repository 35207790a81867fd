import type { Rail } from '../../board/model.ts';
import type { Point } from '../../circuit/reading.ts';
import type { TakenReading } from '../../faults/evidence.ts';
import type { Shade } from './model.ts';

type Nets = Pick<Rail, 'plus' | 'minus'>;

/** A reading that speaks of one place, and how near the short it says that is. */
interface Located {
  readonly reading: TakenReading;
  readonly place: number;
  /** What is compared: lower is nearer the short. */
  readonly distance: number;
}

/** What one set of readings that can be compared with each other shows. */
export interface Layer {
  /** `four-wire across each part`. */
  readonly of: 'across' | 'against';
  readonly mode: 'four-wire' | 'millivolts';
  /** With `against`: the point all of them share. */
  readonly point?: Point;
  /** Newest reading by place. */
  readonly newest: ReadonlyMap<number, TakenReading>;
  /** Place by number of the reading, older readings too. */
  readonly placeOf: ReadonlyMap<number, number>;
  readonly shadeOf: ReadonlyMap<number, Shade>;
  /** By number of the reading; lower is nearer the short. */
  readonly distanceOf: ReadonlyMap<number, number>;
}

/** The readings of a rail that tell of its copper: milliohms and millivolts between its own nets. */
export function railReadings(readings: readonly TakenReading[], nets: Nets): TakenReading[] {
  const isOwn = ({ net }: Point): boolean => net === nets.plus || net === nets.minus;
  return readings.filter(
    ({ mode, red, black, offPart }) =>
      (mode === 'four-wire' || mode === 'millivolts') &&
      offPart === undefined &&
      isOwn(red) &&
      isOwn(black),
  );
}

/**
 * The largest set of readings that can be compared place by place; undefined when no reading speaks of
 * one place. Of two as large, the one read last.
 * @param placeOf  the place of a pad, by its number; undefined when that is not known
 */
export function mainLayer(
  readings: readonly TakenReading[],
  nets: Nets,
  placeOf: (pin: number) => number | undefined,
): Layer | undefined {
  const sets = new Map<string, { layer: Pick<Layer, 'of' | 'mode' | 'point'>; own: Located[] }>();
  for (const reading of readings) {
    for (const { key, layer, place, distance } of waysToPlace(reading, nets, placeOf)) {
      const set = sets.get(key) ?? { layer, own: [] };
      sets.set(key, set);
      set.own.push({ reading, place, distance });
    }
  }
  let best: { layer: Pick<Layer, 'of' | 'mode' | 'point'>; own: Located[] } | undefined;
  for (const set of sets.values()) {
    // One reading against a far point is no set: it lies between two places.
    if (set.layer.of === 'against' && spread(set.own) < 2) continue;
    if (best === undefined || isLarger(set.own, best.own)) best = set;
  }
  return best && finished(best.layer, best.own);
}

const spread = (own: readonly Located[]): number => new Set(own.map(({ place }) => place)).size;

function isLarger(a: readonly Located[], b: readonly Located[]): boolean {
  const more = spread(a) - spread(b);
  return more > 0 || (more === 0 && (a.at(-1)?.reading.id ?? 0) > (b.at(-1)?.reading.id ?? 0));
}

interface Way {
  readonly key: string;
  readonly layer: Pick<Layer, 'of' | 'mode' | 'point'>;
  readonly place: number;
  readonly distance: number;
}

/** The places a reading may be said to speak of, and with which others it could be compared then. */
function waysToPlace(
  reading: TakenReading,
  nets: Nets,
  placeOf: (pin: number) => number | undefined,
): Way[] {
  const { red, black } = reading;
  const mode = reading.mode === 'millivolts' ? 'millivolts' : 'four-wire';
  const value = figureOf(reading);
  if (value === undefined) return [];
  const place = (point: Point): number | undefined =>
    point.pin === undefined ? undefined : placeOf(point.pin);
  const [from, to] = [place(red), place(black)];
  const current = reading.injected;
  const under =
    current === undefined
      ? ''
      : `${printKey(current.red)} ${printKey(current.black)} ${current.amps}`;
  const lone = red.pin === undefined ? to : black.pin === undefined ? from : undefined;
  const here = from !== undefined && from === to ? from : lone;
  if (here !== undefined && red.net !== black.net) {
    const key = `across ${mode} ${under}`;
    return [{ key, layer: { of: 'across', mode }, place: here, distance: Math.abs(value) }];
  }
  // Copper of one net alone, read in ohms, tells nothing of where the short is.
  if (mode === 'four-wire' && red.net === black.net) return [];
  const against = (fixed: Point, moved: Point, at: number | undefined, sign: 1 | -1): Way[] => {
    if (at === undefined) return [];
    const layer = { of: 'against', mode, point: fixed } as const;
    const key = `against ${printKey(fixed)} ${moved.net} ${mode} ${under}`;
    const uphill = moved.net === (current?.red.net ?? nets.plus) ? 1 : -1;
    const distance = mode === 'four-wire' ? value : sign * uphill * value;
    return [{ key, layer, place: at, distance }];
  };
  return [...against(black, red, from, 1), ...against(red, black, to, -1)];
}

function printKey({ net, pin }: Point): string {
  return `${net}.${pin ?? ''}`;
}

function figureOf({ value }: TakenReading): number | undefined {
  if (value.kind === 'ohms') return value.ohms;
  return value.kind === 'volts' ? value.volts : undefined;
}

function finished(layer: Pick<Layer, 'of' | 'mode' | 'point'>, own: readonly Located[]): Layer {
  const newest = new Map(own.map(({ place, reading }) => [place, reading]));
  const current = new Set([...newest.values()].map(({ id }) => id));
  const shown = own.filter(({ reading }) => current.has(reading.id));
  const distances = shown.map(({ distance }) => distance);
  const [low, high] = [Math.min(...distances), Math.max(...distances)];
  return {
    ...layer,
    newest,
    placeOf: new Map(own.map(({ place, reading }) => [reading.id, place])),
    shadeOf: new Map(
      shown.map(({ distance, reading }) => [reading.id, shadeOf(distance, low, high)]),
    ),
    distanceOf: new Map(own.map(({ distance, reading }) => [reading.id, distance])),
  };
}

/** In four even steps from the nearest to the farthest; one value alone is neither. */
function shadeOf(distance: number, low: number, high: number): Shade {
  if (!(high > low)) return 2;
  const step = Math.min(3, Math.floor((4 * (distance - low)) / (high - low)));
  return (4 - step) as Shade;
}
