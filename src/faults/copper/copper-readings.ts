import type { Board } from '../../board/model.ts';
import type { CopperMap, CopperPair } from '../../circuit/copper/copper-map.ts';
import { hasPlace } from '../../circuit/copper/copper-map.ts';
import type { Pair } from '../../circuit/copper/copper-path.ts';
import type { Meter } from '../../circuit/meter.ts';
import type { Injection, Point, Probe } from '../../circuit/reading.ts';
import { type BoardState, netPairKey, stateKey } from '../../circuit/state.ts';
import type { TakenReading } from '../evidence.ts';

/** A reading that copper has a part in: V between two pads over the A that are driven, Ω. */
export interface CopperReading {
  readonly id: number;
  readonly state: BoardState;
  readonly drive: Pair;
  readonly sense: Pair;
  readonly ohms: number;
  /** Standard deviation of what the meter shows, Ω; its gain, common to all readings, is not in it. */
  readonly noise: number;
}

/** All readings of one rail's copper and that of its return, under whatever state. */
export interface CopperGroup {
  readonly copper: CopperPair;
  readonly readings: readonly CopperReading[];
}

/** Above this the copper is too little of a reading to tell anything, Ω. */
const MOST_OHMS = 10;
/** What a four-wire reading is off by: last digit, contact, thermal voltages, Ω. Default. */
const FOUR_WIRE_NOISE = 0.1e-3;
/** The same of a millivolt reading, V. Default. */
const MILLIVOLT_NOISE = 0.1e-3;
/** Of no two readings is the gain quite the same. Ratio of the reading. Default. */
const DRIFT_RATIO = 2e-4;

/**
 * Takes out the readings that are to be weighed along the copper.
 * @returns groups, and what is left for the rest of the reasoning: the others, and for each pair of nets
 *   read so that it conducts
 */
export function partReadings(
  map: CopperMap,
  readings: readonly TakenReading[],
): { groups: CopperGroup[]; rest: readonly TakenReading[] } {
  const byNets = new Map<string, TakenReading[]>();
  const onOneSide: TakenReading[] = [];
  for (const reading of readings) {
    if (!isAlongCopper(map, reading)) continue;
    const [one, other] = sidesOf(map, reading);
    const key = netPairKey(one, other);
    if (one === other) onOneSide.push(reading);
    else byNets.set(key, [...(byNets.get(key) ?? []), reading]);
  }
  // Milliohms along one side say what its copper is like, where a short across it is looked for.
  for (const reading of onOneSide) {
    const [side] = sidesOf(map, reading);
    for (const found of byNets.values()) {
      if (sidesOf(map, found[0] as TakenReading).includes(side)) found.push(reading);
    }
  }
  const groups = [...byNets.values()].flatMap((found) => groupOf(map, found) ?? []);
  if (groups.length === 0) return { groups, rest: readings };
  const taken = new Set(groups.flatMap((group) => group.readings.map(({ id }) => id)));
  return { groups, rest: conducting(readings, taken) };
}

/** A reading between two pads of known places, low enough for copper to show in it. */
export function isAlongCopper(map: CopperMap, reading: TakenReading): boolean {
  const { mode, red, black, value, offPart, injected } = reading;
  if (offPart !== undefined || value.kind === 'over') return false;
  if (mode === 'four-wire') {
    if (value.kind !== 'ohms' || value.ohms > MOST_OHMS || red.pin === black.pin) return false;
  } else if (mode !== 'millivolts' || injected === undefined || !(injected.amps > 0)) return false;
  return [red, black].every(({ pin }) => pin !== undefined && hasPlace(map.board, pin));
}

/** The two nets that a current runs between. */
function drivenNets({ red, black, injected }: TakenReading): readonly [number, number] {
  return injected === undefined ? [red.net, black.net] : [injected.red.net, injected.black.net];
}

/** Each of the two sides by the first of its nets. */
function sidesOf(map: CopperMap, reading: TakenReading): readonly [number, number] {
  const [red, black] = drivenNets(reading);
  return [Math.min(...map.sideOf(red)), Math.min(...map.sideOf(black))];
}

function groupOf(map: CopperMap, found: readonly TakenReading[]): CopperGroup | undefined {
  const readings = found.flatMap((reading) => copperReading(map, reading) ?? []);
  const first = found[0];
  if (first === undefined || readings.length === 0) return undefined;
  const pins = readings.flatMap(({ drive, sense }) => [...ends(drive), ...ends(sense)]);
  const copper = map.between(...drivenNets(first), pins);
  if (copper === undefined) return undefined;
  const known = new Set([...copper.pins[0], ...copper.pins[1]]);
  const within = readings.filter(({ drive, sense }) =>
    [...ends(drive), ...ends(sense)].every((pin) => known.has(pin)),
  );
  return within.length === 0 ? undefined : { copper, readings: within };
}

function ends({ red, black }: Pair): number[] {
  return [red, black];
}

/** A reading nobody has taken yet, at two pads of known places. */
export function foreseenReading(
  { red, black, injected }: Probe,
  id: number,
  state: BoardState,
): CopperReading {
  const sense: Pair = { red: red.pin as number, black: black.pin as number };
  if (injected === undefined) {
    return { id, state, drive: sense, sense, ohms: 0, noise: FOUR_WIRE_NOISE };
  }
  const drive: Pair = { red: injected.red.pin as number, black: injected.black.pin as number };
  return { id, state, drive, sense, ohms: 0, noise: MILLIVOLT_NOISE / injected.amps };
}

function copperReading(map: CopperMap, reading: TakenReading): CopperReading | undefined {
  const { id, state, red, black, value, injected } = reading;
  const sense: Pair = { red: red.pin as number, black: black.pin as number };
  const base = { id, state, sense };
  if (value.kind === 'ohms') {
    const noise = Math.hypot(FOUR_WIRE_NOISE, DRIFT_RATIO * value.ohms);
    return { ...base, drive: sense, ohms: value.ohms, noise };
  }
  if (value.kind !== 'volts' || injected === undefined) return undefined;
  const [from, to] = [clipPin(map, injected.red), clipPin(map, injected.black)];
  if (from === undefined || to === undefined) return undefined;
  const ohms = value.volts / injected.amps;
  const noise = Math.hypot(MILLIVOLT_NOISE / injected.amps, DRIFT_RATIO * ohms);
  return { ...base, drive: { red: from, black: to }, ohms, noise };
}

/** An injection with the pads it is clipped to; undefined where no place of it is known. */
export function clipped(map: CopperMap, injection: Injection): Injection | undefined {
  const [red, black] = [clipPin(map, injection.red), clipPin(map, injection.black)];
  if (red === undefined || black === undefined) return undefined;
  return {
    ...injection,
    red: { ...injection.red, pin: red },
    black: { ...injection.black, pin: black },
  };
}

/** Where a supply is clipped to: the pin that was said, else where one would clip it on that net. */
function clipPin({ board }: CopperMap, { net, pin }: Point): number | undefined {
  if (pin !== undefined) return hasPlace(board, pin) ? pin : undefined;
  const placed = (board.nets[net]?.pins ?? []).filter((one) => hasPlace(board, one));
  const isPlug = (one: number): boolean =>
    board.parts[board.pins[one]?.part ?? -1]?.kind.name === 'connector';
  return placed.find(isPlug) ?? placed[0];
}

/** Each pair of nets read along the copper conducts: once, however often it was read. */
function conducting(readings: readonly TakenReading[], taken: ReadonlySet<number>): TakenReading[] {
  const said = new Set<string>();
  return readings.flatMap((reading) => {
    if (!taken.has(reading.id)) return [reading];
    if (reading.mode === 'millivolts') return [];
    const { id, state, red, black } = reading;
    const key = `${netPairKey(red.net, black.net)} ${stateKey(state)}`;
    if (said.has(key)) return [];
    said.add(key);
    const points = { red: { net: red.net }, black: { net: black.net } };
    return [
      { id, state, mode: 'continuity' as const, ...points, value: { kind: 'beep' as const } },
    ];
  });
}

/** What a meter's gain makes of copper readings, as a ratio: at least what the best of them have. */
export function gainOf({ gainRatio }: Meter): number {
  return Math.max(gainRatio, 5e-3);
}

/** Parts with a pin on both sides of some group: each is a suspect of its own along the copper. */
export function partsAcross(board: Board, groups: readonly CopperGroup[]): Set<number> {
  const found = new Set<number>();
  for (const { copper } of groups) {
    for (const pin of copper.pins[0]) {
      const part = board.parts[board.pins[pin]?.part ?? -1];
      if (part?.pins.some((other) => copper.pins[1].has(other))) found.add(part.index);
    }
  }
  return found;
}
