import { foreseenFor, type GoodShown } from '../circuit/good-board.ts';
import {
  contradictedBelow,
  explainedBelow,
  fit,
  type Prediction,
  slipFit,
  wanted,
} from '../circuit/likelihood.ts';
import type { Meter } from '../circuit/meter.ts';
import { isAcrossBoard, type MeterMode, type ReadingValue } from '../circuit/reading.ts';
import { type BoardState, netPairKey, stateKey } from '../circuit/state.ts';
import type { AskedParts } from './asked-parts.ts';
import type { TakenReading } from './evidence.ts';
import type { FaultSettings } from './settings.ts';

/** One reading of an observation. */
export interface Entry {
  readonly mode: MeterMode;
  readonly value: ReadingValue;
  /** Red was on `b`; absent: on `a`. */
  readonly isTurned?: boolean;
  /** Parts lie between the points whose junctions are weighed as faults. */
  readonly isListed?: boolean;
  /** What a good board read at these points. */
  readonly good?: GoodShown;
}

/**
 * All readings between the same two points under the same state of the board. They share what may
 * be wrong about the points, so repeats are not independent evidence.
 */
export interface Observation {
  readonly index: number;
  /** Equal for observations of the same points that say the same. */
  readonly content: string;
  readonly ids: readonly number[];
  readonly state: BoardState;
  readonly stateKey: string;
  /** Equal for observations between the same two nets under one state; see {@link pairKey}. */
  readonly pairKey: string;
  readonly a: number;
  readonly b: number;
  readonly entries: readonly Entry[];
  /** Parts whose junctions and other ohms it speaks of; none when it is the beeper's alone. */
  readonly asks: readonly number[];
  /** A junction's current, or the lack of it, shows in some entry. */
  readonly isLit: boolean;
  /** Best fit any circuit could have, and the fit of one that explains none of the entries. */
  readonly best: number;
  readonly floor: number;
  /** Best fit of a circuit that leaves some entry to a slip; Infinity where no entry is a number. */
  readonly missed: number;
  /** Ω below which some entry is contradicted; 0 when none can be. */
  readonly contradicted: number;
  /** Best fit of a circuit below that, and the fit of one that joins nothing. */
  readonly shortFit: number;
  readonly openFit: number;
}

/**
 * Groups readings across the board; leg readings speak of one part alone, those of copper of where
 * along it: both are weighed elsewhere.
 * @param asked what lies straight between points that were read in other modes than the beeper's
 */
export function observationsOf(
  readings: readonly TakenReading[],
  meter: Meter,
  settings: FaultSettings,
  asked: AskedParts,
  goodOf: (reading: TakenReading) => GoodShown | undefined,
): Observation[] {
  const groups = new Map<string, TakenReading[]>();
  for (const reading of readings) {
    if (!isAcrossBoard(reading)) continue;
    const key = observationKey(reading);
    const held = groups.get(key);
    if (held === undefined) groups.set(key, [reading]);
    else held.push(reading);
  }
  return [...groups.values()].map((group, index) => {
    const asks = [...new Set(group.flatMap((reading) => asked.between(reading)))];
    return makeObservation(group, index, { asks, goodOf }, meter, settings);
  });
}

/** Names two nets under a state of the board. */
export function pairKey(a: number, b: number, state: BoardState): string {
  return `${netPairKey(a, b)} ${stateKey(state)}`;
}

/** Equal for readings that belong to one observation. */
function observationKey(reading: TakenReading): string {
  const ends = [pointKey(reading.red), pointKey(reading.black)].sort();
  return `${ends.join(' ')} ${stateKey(reading.state)}`;
}

function pointKey(point: TakenReading['red']): string {
  return point.pin === undefined ? `n${point.net}` : `p${point.pin}`;
}

function makeObservation(
  group: readonly TakenReading[],
  index: number,
  {
    asks,
    goodOf,
  }: {
    readonly asks: readonly number[];
    readonly goodOf: (reading: TakenReading) => GoodShown | undefined;
  },
  meter: Meter,
  settings: FaultSettings,
): Observation {
  const first = group[0] as TakenReading;
  const entries = group.map((reading): Entry => {
    const { mode, value, red } = reading;
    const isTurned = red.net !== first.red.net;
    const good = goodOf(reading);
    return {
      mode,
      value,
      isTurned,
      ...(asks.length > 0 ? { isListed: true } : {}),
      ...(good === undefined ? {} : { good }),
    };
  });
  const bare = {
    index,
    content: `${first.red.net} ${observationKey(first)} ${JSON.stringify(entries)}`,
    ids: group.map((reading) => reading.id),
    state: first.state,
    stateKey: stateKey(first.state),
    pairKey: pairKey(first.red.net, first.black.net, first.state),
    a: first.red.net,
    b: first.black.net,
    entries,
    asks,
    isLit: entries.some((entry) => isLit(entry, meter)),
  };
  const fitOf = (some: readonly Entry[], ohms: number): number =>
    observationFit({ entries: some }, { ohms, spread: 0 }, meter, settings);
  const fitAt = (ohms: number): number => fitOf(entries, ohms);
  const bestOf = (some: readonly Entry[]): number =>
    Math.max(...telling(some).map((ohms) => fitOf(some, ohms)));
  const tellings = telling(entries);
  const contradicted = Math.max(...entries.map(({ value }) => contradictedBelow(meter, value)));
  return {
    ...bare,
    best: apart(entries, meter).reduce((product, some) => product * bestOf(some), 1),
    floor: Math.min(...tellings.map(fitAt)),
    missed: entries.some(isNumber)
      ? Math.max(...tellings.filter((ohms) => leavesToSlip(entries, ohms, meter)).map(fitAt))
      : Number.POSITIVE_INFINITY,
    contradicted,
    shortFit: Math.max(...tellings.filter((ohms) => ohms < contradicted).map(fitAt), 0),
    openFit: fitAt(Number.POSITIVE_INFINITY),
  };
}

/** Below this a junction carries none of a diode test, V. */
const DARK_VOLTS = 0.1;

/**
 * Entries in groups that may differ as much as they like: a junction shows one thing one way and
 * another the other, and each mode drives another current through it. A resistance shows one.
 */
function apart(entries: readonly Entry[], meter: Meter): Entry[][] {
  const groups = new Map<string, Entry[]>();
  for (const entry of entries) {
    const key = isLit(entry, meter) ? `${entry.mode} ${entry.isTurned === true}` : '';
    groups.set(key, [...(groups.get(key) ?? []), entry]);
  }
  return [...groups.values()];
}

function isLit({ mode, value }: Entry, { junctionOhms }: Meter): boolean {
  if (mode === 'continuity') return false;
  if (value.kind === 'over') return true;
  if (value.kind === 'volts') return value.volts > DARK_VOLTS;
  return value.kind === 'ohms' && value.ohms > junctionOhms;
}

function isNumber({ value }: Entry): boolean {
  return value.kind === 'ohms' || value.kind === 'volts';
}

function leavesToSlip(entries: readonly Entry[], ohms: number, meter: Meter): boolean {
  return entries.some((entry) => {
    const { mode, value } = entry;
    return fit(meter, mode, value, { ohms, spread: 0 }, entry) < slipFit(value);
  });
}

/** Resistances at which some entry fits best, and the extremes. */
function telling(entries: readonly Entry[]): number[] {
  const own = entries.flatMap(({ value }) =>
    value.kind === 'ohms'
      ? [Math.max(value.ohms, 0)]
      : value.kind === 'volts'
        ? [value.volts * 1000]
        : [],
  );
  // Where a good board was read, what shows a value is foreseen as another.
  const beside = entries.flatMap(({ mode, value, good }) => {
    if (good === undefined || mode === 'diode') return [];
    const shown =
      value.kind === 'ohms' ? (foreseenFor(Math.max(value.ohms, 1e-3), good) ?? []) : [];
    return [good.foreseen, shown].flat();
  });
  return [0, Number.POSITIVE_INFINITY, 1000, ...own, ...beside];
}

/**
 * How well a circuit fits the entries together: either the points tell the truth and each entry may
 * be a slip on its own, or the points mislead every time alike.
 */
export function observationFit(
  observation: Pick<Observation, 'entries'>,
  prediction: Prediction,
  meter: Meter,
  settings: FaultSettings,
): number {
  const { slipRatio, stubbornRatio } = settings;
  let truthful = 1;
  let misled = 1;
  let agreed: ReadingValue['kind'] | undefined;
  for (const entry of observation.entries) {
    const { mode, value } = entry;
    const slip = slipFit(value);
    truthful *= (1 - slipRatio) * fit(meter, mode, value, prediction, entry) + slipRatio * slip;
    misled *= agreed === undefined ? slip : value.kind === agreed ? 1 : slipRatio * slip;
    agreed ??= value.kind;
  }
  return (1 - stubbornRatio) * truthful + stubbornRatio * misled;
}

/** Chance of each entry being wrong, given what the circuit would read. */
export function wrongChances(
  observation: Observation,
  prediction: Prediction,
  meter: Meter,
  settings: FaultSettings,
): number[] {
  const whole = observationFit(observation, prediction, meter, settings);
  return observation.entries.map((entry) => {
    const { mode, value } = entry;
    const explained = fit(meter, mode, value, prediction, entry);
    const slip = slipFit(value);
    const one = (1 - settings.slipRatio) * explained + settings.slipRatio * slip;
    // The share of this entry's fit that comes from its being right, within the whole.
    const right = one > 0 ? ((1 - settings.slipRatio) * explained) / one : 0;
    const others = observationFit({ entries: observation.entries }, prediction, meter, {
      ...settings,
      stubbornRatio: 0,
    });
    const truthfulShare = whole > 0 ? ((1 - settings.stubbornRatio) * others) / whole : 0;
    return 1 - Math.min(1, truthfulShare) * right;
  });
}

/** Which way the circuit must change to fit the entries better, judged by the one it fits worst. */
export function wantedChange(
  observation: Observation,
  prediction: Prediction,
  meter: Meter,
): { readonly way: 'lower' | 'higher'; readonly limit: number } {
  let worst = observation.entries[0];
  let least = Number.POSITIVE_INFINITY;
  for (const entry of observation.entries) {
    const explained = fit(meter, entry.mode, entry.value, prediction, entry);
    const f = explained / slipFit(entry.value);
    if (f < least) {
      least = f;
      worst = entry;
    }
  }
  const { mode, value } = worst as Entry;
  const way = wanted(meter, mode, value, prediction, worst as Entry);
  const limit = way === 'lower' ? explainedBelow(meter, value) : contradictedBelow(meter, value);
  return { way, limit };
}
