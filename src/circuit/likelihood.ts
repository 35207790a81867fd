import { GOOD_SPREAD, type GoodShown, isSame, rightedOhms, rightedVolts } from './good-board.ts';
import { beepChance, type Meter, normalBelow, type Range } from './meter.ts';
import type { MeterMode, ReadingValue } from './reading.ts';

/**
 * How well a reading fits a circuit. Values in ohms are weighed on the scale y = ln(Ω + {@link
 * OFFSET_OHMS}), whose offset keeps differences below lead resistance from counting; about
 * {@link SCALE_SPAN} units of it cover everything a meter can show.
 */
const OFFSET_OHMS = 0.2;
const SCALE_SPAN = 20;
/** Volts a diode test can show, as a span for values nobody predicts. */
const VOLT_SPAN = 2.5;

export interface Prediction {
  /** Ω between the points, without leads; Infinity when nothing joins them. */
  readonly ohms: number;
  /** Standard deviation of y from what is not known of the faults in the path. */
  readonly spread: number;
  /** Standard deviation of ln Ω from the tolerance of the healthy parts in the path; absent: 3 %. */
  readonly tolerance?: () => number;
  /**
   * V across the points with junctions counted, for a current into the first (turned: the second);
   * Infinity above a ceiling. Absent: resistances alone.
   */
  readonly through?: (amps: number, ceiling: number, isTurned: boolean) => number;
}

/** What else there is to know of a reading. */
export interface Touch {
  /** Red was on the second point. */
  readonly isTurned?: boolean;
  /** All that parts between the points may do to it is weighed as faults of theirs. */
  readonly isListed?: boolean;
  /** What a good board read there; it knows paths that the board file lacks. */
  readonly good?: GoodShown;
}

/** Chance (beep, quiet, over) or density (numbers) of a value that a circuit explains. */
export function fit(
  meter: Meter,
  mode: MeterMode,
  value: ReadingValue,
  p: Prediction,
  { isTurned = false, isListed = false, good }: Touch = {},
): number {
  const unlisted = isListed || good !== undefined ? LISTED_SHARE : 1;
  switch (value.kind) {
    case 'beep':
      return beepChanceOf(meter, p, good);
    case 'quiet':
      return 1 - beepChanceOf(meter, p, good);
    case 'ohms':
      return ohmsFit(meter, mode, value.ohms, p, isTurned, good);
    case 'volts':
      return voltsFit(meter, value.volts, p, isTurned, unlisted, good);
    case 'over':
      if (mode === 'continuity') return 1 - beepChanceOf(meter, p, good);
      return mode === 'diode'
        ? diodeOverFit(meter, p, isTurned, unlisted, good)
        : ohmsOverFit(meter, mode, p, isTurned, good);
  }
}

function beepChanceOf(meter: Meter, p: Prediction, good: GoodShown | undefined): number {
  const { ohms, spread } = righted(p, good);
  return beepChance(meter, ohms, spread);
}

/** A prediction put right by what a good board read. */
function righted(p: Prediction, good: GoodShown | undefined): Prediction {
  if (good === undefined) return p;
  // What a junction passes is known where a good board's was read.
  const own = isSame(p.ohms, good.foreseen) ? 0 : p.spread;
  return { ...p, ohms: rightedOhms(p.ohms, good), spread: Math.hypot(own, GOOD_SPREAD) };
}

/** Ω that a meter would show, on the range it would show a value on. */
export function shownOhms(
  meter: Meter,
  mode: MeterMode,
  measured: number,
  p: Prediction,
  isTurned: boolean,
): number {
  return seenAs(meter, mode, measured, p, isTurned).ohms;
}

/** V that a diode test would show; Infinity when over. */
export function shownVolts(meter: Meter, p: Prediction, isTurned: boolean): number {
  const { volts } = diodeVolts(meter, p, isTurned);
  return volts > meter.diodeVolts ? Number.POSITIVE_INFINITY : volts;
}

/** A value that junctions cannot have made is weighed by resistances alone. */
function seenAs(
  meter: Meter,
  mode: MeterMode,
  measured: number,
  p: Prediction,
  isTurned: boolean,
): Prediction {
  return measured > meter.junctionOhms ? seenAt(meter, mode, measured, p, isTurned) : p;
}

/** A junction makes less of the path than this where the meter shows nearly what resistances alone would. */
const JUNCTION_SHARE = 0.02;

/**
 * What junctions make of a prediction on one range: the ohms it would show, with the wider spread of
 * what a junction passes; the prediction itself where resistances carry the reading.
 */
function seenThrough(
  meter: Meter,
  range: Range | undefined,
  volts: number,
  p: Prediction,
  isTurned: boolean,
): Prediction {
  if (p.through === undefined || range === undefined || p.ohms <= meter.junctionOhms) return p;
  const most = Math.min(volts, range.ohms * range.amps * OVERSHOOT);
  const ohms = p.through(range.amps, most, isTurned) / range.amps;
  return ohms < (1 - JUNCTION_SHARE) * p.ohms ? { ohms, spread: JUNCTION_SPREAD } : p;
}

/** What lies this far above a range is told from its end by no reading on it. */
const OVERSHOOT = 20;

/**
 * Seen on the range that a meter would show a value on, or on a higher one where no current of that
 * range would pass: a junction's leakage carries nanoamperes where it blocks microamperes.
 */
function seenAt(
  meter: Meter,
  mode: MeterMode,
  measured: number,
  p: Prediction,
  isTurned: boolean,
): Prediction {
  const { ranges, volts } = meter.drives[mode] ?? { ranges: [], volts: 0 };
  const first = ranges.findIndex(({ ohms }) => measured <= ohms);
  for (const range of first < 0 ? [] : ranges.slice(first)) {
    const seen = seenThrough(meter, range, volts, p, isTurned);
    if (seen.ohms < Number.POSITIVE_INFINITY) return seen;
  }
  return seenThrough(meter, ranges.at(-1), volts, p, isTurned);
}

/** Standard deviation of ln Ω of a path through a junction: 0.05 V more or less is a factor of three. */
const JUNCTION_SPREAD = 0.8;
/** The same in a diode test, V. */
const JUNCTION_VOLTS = 0.05;

/** The same for a reading that has nothing to do with the circuit: a slip, a dirty point. */
export function slipFit(value: ReadingValue): number {
  switch (value.kind) {
    case 'beep':
      return 0.3; // a bad contact keeps quiet more often than a wrong point sounds
    case 'quiet':
      return 0.7;
    case 'over':
      return 0.3;
    case 'ohms':
      return 0.7 / SCALE_SPAN;
    case 'volts':
      return 0.7 / VOLT_SPAN;
  }
}

/**
 * Standard deviation of y for a true resistance; grows with the tolerance.
 * @param tolerance default: what the parts of the path make it, which takes a while on a large board
 */
export function ohmsDeviation(
  meter: Meter,
  p: Prediction,
  tolerance: number = p.tolerance?.() ?? 0.03,
): number {
  // part tolerance, meter gain, contact resistance that changes from touch to touch
  const relative = Math.hypot(tolerance, meter.gainRatio) * (p.ohms / (p.ohms + OFFSET_OHMS));
  const contact = meter.contactOhms / (p.ohms + OFFSET_OHMS);
  return Math.hypot(relative, contact, p.spread, 0.03);
}

export function ohmsScale(ohms: number): number {
  return Math.log(Math.max(ohms, 0) + OFFSET_OHMS);
}

function ohmsFit(
  meter: Meter,
  mode: MeterMode,
  measured: number,
  linear: Prediction,
  isTurned: boolean,
  good: GoodShown | undefined,
): number {
  const p = righted(seenAs(meter, mode, measured, linear, isTurned), good);
  // Junctions nobody listed and surface leakage can carry a high reading that nothing explains.
  const stray = measured > meter.junctionOhms && measured < p.ohms ? 1 / SCALE_SPAN : 0;
  const strays = good === undefined ? 1 : LISTED_SHARE;
  if (p.ohms > meter.rangeOhms) return 0.5 * strays * stray;
  const sd = ohmsDeviation(meter, p);
  const z = (ohmsScale(measured) - ohmsScale(p.ohms)) / sd;
  const density = Math.exp(-0.5 * z * z) / (sd * Math.sqrt(2 * Math.PI));
  const share = p.ohms > meter.junctionOhms ? STRAY_SHARE * strays : 0;
  return (1 - share) * density + share * stray;
}

/** How often a path nobody listed lowers a high reading. */
const STRAY_SHARE = 0.15;

function ohmsOverFit(
  meter: Meter,
  mode: MeterMode,
  linear: Prediction,
  isTurned: boolean,
  good: GoodShown | undefined,
): number {
  const p = righted(seenAt(meter, mode, Number.POSITIVE_INFINITY, linear, isTurned), good);
  if (p.ohms > meter.rangeOhms) return 1 - STRAY_SHARE;
  const z =
    (ohmsScale(meter.rangeOhms) - ohmsScale(p.ohms)) / Math.max(ohmsDeviation(meter, p), 0.1);
  return 1 - normalBelow(z);
}

/** Above this a junction may be carrying the current, V. */
const JUNCTION_FLOOR_VOLTS = 0.1;
/** What is left of surprises by parts nobody lists, where those that lie between the points are. */
const LISTED_SHARE = 0.05;
/** How often a diode test that should read OL shows a voltage all the same. */
const STRAY_VOLTS_SHARE = 0.2;

/** Standard deviation of a diode test between plain resistances, V: contact, offset, last digit. */
const VOLTS_DEVIATION = 0.005;

function voltsFit(
  meter: Meter,
  measured: number,
  p: Prediction,
  isTurned: boolean,
  unlisted: number,
  good: GoodShown | undefined,
): number {
  const strayShare = STRAY_VOLTS_SHARE * unlisted;
  const linear = p.ohms * meter.diodeAmps;
  const { volts, isJunction } = rightedDiode(meter, p, isTurned, good);
  const stray = measured > JUNCTION_FLOOR_VOLTS && measured < linear + 0.02 ? 1 / VOLT_SPAN : 0;
  if (volts > meter.diodeVolts) return strayShare * stray;
  const own = isJunction ? JUNCTION_VOLTS : linear * Math.hypot(0.05, p.spread);
  const sd = Math.hypot(VOLTS_DEVIATION, own);
  const z = (measured - volts) / sd;
  const density = Math.exp(-0.5 * z * z) / (sd * Math.sqrt(2 * Math.PI));
  const share = linear > JUNCTION_FLOOR_VOLTS ? strayShare : 0;
  return (1 - share) * density + share * stray;
}

/** How often a junction is open where the search lists no such fault: no reason to call a reading wrong. */
const OPEN_JUNCTION = 0.02;

function diodeOverFit(
  meter: Meter,
  p: Prediction,
  isTurned: boolean,
  unlisted: number,
  good: GoodShown | undefined,
): number {
  const { volts, isJunction } = rightedDiode(meter, p, isTurned, good);
  if (volts > meter.diodeVolts) return 1 - STRAY_VOLTS_SHARE * unlisted;
  if (!isJunction) return 0.001;
  // A junction that drops more than the catalogue says may lie above what the meter shows.
  const open = OPEN_JUNCTION * unlisted;
  return Math.max(open, 1 - normalBelow((meter.diodeVolts - volts) / JUNCTION_VOLTS));
}

/** The same, put right by what a good board read. */
function rightedDiode(
  meter: Meter,
  p: Prediction,
  isTurned: boolean,
  good: GoodShown | undefined,
): { volts: number; isJunction: boolean } {
  const own = diodeVolts(meter, p, isTurned);
  if (good === undefined) return own;
  const volts = own.volts > meter.diodeVolts ? Number.POSITIVE_INFINITY : own.volts;
  const seen = rightedVolts(volts, good);
  return { volts: seen, isJunction: own.isJunction || seen > JUNCTION_FLOOR_VOLTS };
}

/** V a diode test would show, leads left out; Infinity when over. */
function diodeVolts(
  meter: Meter,
  p: Prediction,
  isTurned: boolean,
): { volts: number; isJunction: boolean } {
  const linear = p.ohms * meter.diodeAmps;
  if (
    p.through === undefined ||
    linear <= JUNCTION_FLOOR_VOLTS ||
    meter.drives.diode === undefined
  ) {
    return { volts: linear, isJunction: false };
  }
  const volts = p.through(meter.diodeAmps, meter.diodeVolts, isTurned);
  return { volts, isJunction: volts < (1 - JUNCTION_SHARE) * linear };
}

/** Which way the circuit must change to fit a value it does not fit. */
export function wanted(
  meter: Meter,
  mode: MeterMode,
  value: ReadingValue,
  p: Prediction,
  { isTurned = false, good }: Touch,
): 'lower' | 'higher' {
  switch (value.kind) {
    case 'beep':
      return 'lower';
    case 'quiet':
    case 'over':
      return 'higher';
    case 'ohms':
      return righted(seenAt(meter, mode, value.ohms, p, isTurned), good).ohms > value.ohms
        ? 'lower'
        : 'higher';
    case 'volts':
      return rightedDiode(meter, p, isTurned, good).volts > value.volts ? 'lower' : 'higher';
  }
}

/** A resistance that any circuit explaining the value stays below; Infinity when there is none. */
export function explainedBelow(meter: Meter, value: ReadingValue): number {
  switch (value.kind) {
    case 'beep':
      return meter.beepOhms * Math.exp(2.5 * meter.beepSpread);
    case 'ohms':
      return (value.ohms + 2 * meter.contactOhms) * 1.3;
    case 'volts':
      return ((value.volts + 3 * VOLTS_DEVIATION) / meter.diodeAmps) * 1.3;
    case 'quiet':
    case 'over':
      return Number.POSITIVE_INFINITY;
  }
}

/** A resistance that would contradict the value for sure; 0 when there is none. */
export function contradictedBelow(meter: Meter, value: ReadingValue): number {
  switch (value.kind) {
    case 'quiet':
      return meter.beepOhms * Math.exp(-2 * meter.beepSpread);
    case 'over':
      return 1e6;
    case 'ohms':
      return value.ohms * 0.7 - 1;
    case 'volts':
      return (value.volts / meter.diodeAmps) * 0.7 - 1;
    case 'beep':
      return 0;
  }
}
