import type { Board, Rail } from '../../board/model.ts';
import { formatOhms } from '../../board/units.ts';
import type { Point, Probe } from '../../circuit/reading.ts';
import type { Suspect } from '../../faults/diagnosis.ts';
import type { Evidence, TakenReading } from '../../faults/evidence.ts';
import type { Step } from '../../steps/step.ts';
import { MODE_WORDS, netName, partName, partNames, pointName } from '../names.ts';
import type { PictureReading, PictureView, PlaceView, Side, SideView } from './model.ts';
import { type Place, placesOf } from './places.ts';
import { type Layer, mainLayer, railReadings } from './readings.ts';

/** What a picture of a rail is made from. */
export interface PictureFacts {
  /** With typed positions put in. */
  readonly board: Board;
  readonly rail: Pick<Rail, 'plus' | 'minus'> & { readonly name?: string };
  readonly evidence: Evidence;
  readonly suspects: readonly Suspect[];
  readonly step?: Step;
}

/** A suspect lighter than this is none in a picture. */
const LIGHTEST = 0.005;

/** Puts a rail, its readings and its suspects in their places. */
export function viewPicture(facts: PictureFacts): PictureView {
  const { board, rail, evidence } = facts;
  const readings = railReadings(evidence.readings, rail);
  const probe = nextProbe(facts);
  const probed = pinsOf([...readings, ...(probe === undefined ? [] : [probe])]);
  const { places, unplaced } = placesOf(board, rail, probed);
  const placeOfPin = new Map(
    places.flatMap(({ pins }, index) => pins.map((pin): [number, number] => [pin, index])),
  );
  const layer = mainLayer(readings, rail, (pin) => placeOfPin.get(pin));
  const weights = suspectWeights(facts);
  const shown = places.map((place) => viewPlace(board, place, weights, probe));
  const fixed = placeOfPin.get(layer?.point?.pin ?? -1);
  const valued = shown.map((place, index) => ({
    ...withValue(place, layer, index),
    ...(index === fixed ? { isFixed: true as const } : {}),
  }));
  return {
    rail: rail.name ?? netName(board, rail.plus),
    plus: netName(board, rail.plus),
    minus: netName(board, rail.minus),
    ...frameOf(places),
    sides: sidesOf(places, valued),
    ...(layer === undefined ? {} : { shaded: shadedText(board, layer) }),
    readings: viewReadings(facts, readings, places, layer, placeOfPin),
    suspects: [...weights].map(([part, weight]) => ({ part: partName(board, part), weight })),
    ...(probe === undefined ? {} : { next: viewNextProbe(board, probe) }),
    unplaced: partNames(board, unplaced),
  };
}

/** The next reading in milliohms or millivolts, when both its points are on this rail. */
function nextProbe({ step, rail }: PictureFacts): Probe | undefined {
  const probe = step?.kind === 'read' ? step.probe : undefined;
  const isOwn = ({ net }: Point): boolean => net === rail.plus || net === rail.minus;
  if (probe === undefined || probe.offPart !== undefined) return undefined;
  return isOwn(probe.red) && isOwn(probe.black) ? probe : undefined;
}

function viewNextProbe(board: Board, probe: Probe): NonNullable<PictureView['next']> {
  const [red, black] = [pointName(board, probe.red), pointName(board, probe.black)];
  return { red, black, text: `red on ${red}, black on ${black}, ${MODE_WORDS[probe.mode]}` };
}

function pinsOf(probes: readonly Probe[]): ReadonlySet<number> {
  return new Set(probes.flatMap(({ red, black }) => [red.pin ?? -1, black.pin ?? -1]));
}

/** Suspects that lie on the rail's plus net, heaviest first. */
function suspectWeights({ board, rail, suspects }: PictureFacts): Map<number, number> {
  const own = suspects.filter(
    ({ part, weight }) =>
      weight >= LIGHTEST &&
      board.parts[part]?.pins.some((pin) => board.pins[pin]?.net === rail.plus),
  );
  return new Map(own.map(({ part, weight }) => [part, weight]));
}

function viewPlace(
  board: Board,
  place: Place,
  weights: ReadonlyMap<number, number>,
  probe: Probe | undefined,
): PlaceView {
  const weight = weights.get(place.part);
  const has = (point: Point | undefined): boolean =>
    point?.pin !== undefined && place.pins.includes(point.pin);
  return {
    name: place.name,
    part: partName(board, place.part),
    at: place.at,
    ...(weight === undefined ? {} : { weight }),
    next: [
      ...(has(probe?.red) ? ['red' as const] : []),
      ...(has(probe?.black) ? ['black' as const] : []),
    ],
  };
}

function withValue(place: PlaceView, layer: Layer | undefined, index: number): PlaceView {
  const reading = layer?.newest.get(index);
  const shade = reading && layer?.shadeOf.get(reading.id);
  if (reading === undefined || shade === undefined) return place;
  return { ...place, value: { text: valueText(reading), shade, id: reading.id } };
}

function frameOf(places: readonly Place[]): Pick<PictureView, 'frame'> {
  if (places.length === 0) return {};
  const range = (axis: 0 | 1): [number, number] => {
    const all = places.map(({ at }) => at[axis]);
    return [Math.min(...all), Math.max(...all)];
  };
  return { frame: { x: range(0), y: range(1) } };
}

function sidesOf(places: readonly Place[], shown: readonly PlaceView[]): SideView[] {
  const of = (side: Side): SideView => ({
    side,
    places: shown.filter((_, index) => places[index]?.side === side),
  });
  return [of('top'), of('bottom')].filter((side) => side.places.length > 0);
}

function shadedText(board: Board, { of, mode, point }: Layer): string {
  const what = mode === 'four-wire' ? 'milliohms' : 'millivolts';
  if (of === 'across' || point === undefined) return `${what} across the pads of each part`;
  return `${what} against ${pointName(board, point)}`;
}

/** Shaded ones first, nearest the short first; the others as they were taken. */
function viewReadings(
  { board, evidence }: PictureFacts,
  readings: readonly TakenReading[],
  places: readonly Place[],
  layer: Layer | undefined,
  placeOfPin: ReadonlyMap<number, number>,
): PictureReading[] {
  const rank = ({ id }: TakenReading): number =>
    layer?.shadeOf.has(id) ? (layer.distanceOf.get(id) ?? 0) : Number.POSITIVE_INFINITY;
  const order = readings.toSorted((a, b) => {
    const [x, y] = [rank(a), rank(b)];
    return x === y ? a.id - b.id : x - y;
  });
  const nameAt = ({ pin }: Point): string | undefined =>
    places[placeOfPin.get(pin ?? -1) ?? -1]?.name;
  return order.map((reading) => {
    const [from, to] = [nameAt(reading.red), nameAt(reading.black)];
    const isApart = from !== undefined && to !== undefined && from !== to;
    const place = places[layer?.placeOf.get(reading.id) ?? -1]?.name;
    const shade = layer?.shadeOf.get(reading.id);
    return {
      id: reading.id,
      red: pointName(board, reading.red),
      black: pointName(board, reading.black),
      mode: reading.mode === 'millivolts' ? 'millivolts' : 'four-wire',
      text: valueText(reading),
      ...(shade === undefined ? {} : { shade }),
      ...(place === undefined ? {} : { place }),
      ...(isApart ? { between: [from, to] as const } : {}),
      notes: notesOf(board, reading, {
        isOlder: place !== undefined && shade === undefined,
        isBefore: reading.id < evidence.lastChange,
      }),
    };
  });
}

function notesOf(
  board: Board,
  { injected }: TakenReading,
  { isOlder, isBefore }: { readonly isOlder: boolean; readonly isBefore: boolean },
): string[] {
  return [
    ...(injected === undefined
      ? []
      : [
          `${Number(injected.amps.toPrecision(3))} A from ${pointName(board, injected.red)} to ${pointName(board, injected.black)}`,
        ]),
    ...(isOlder ? ['read again since'] : []),
    ...(isBefore ? ['before the last change'] : []),
  ];
}

function valueText({ value }: TakenReading): string {
  if (value.kind === 'ohms') return formatOhms(value.ohms);
  return value.kind === 'volts' ? `${Number((1e3 * value.volts).toPrecision(3))} mV` : 'over range';
}
