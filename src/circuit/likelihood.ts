import { beepChance, type Meter, normalBelow } from './meter.ts';
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
}

/** Chance (beep, quiet, over) or density (numbers) of a value that a circuit explains. */
export function fit(meter: Meter, mode: MeterMode, value: ReadingValue, p: Prediction): number {
  switch (value.kind) {
    case 'beep':
      return beepChance(meter, p.ohms, p.spread);
    case 'quiet':
      return 1 - beepChance(meter, p.ohms, p.spread);
    case 'ohms':
      return ohmsFit(meter, value.ohms, p);
    case 'volts':
      return voltsFit(meter, value.volts, p);
    case 'over':
      if (mode === 'continuity') return 1 - beepChance(meter, p.ohms, p.spread);
      return mode === 'diode' ? diodeOverFit(meter, p) : ohmsOverFit(meter, p);
  }
}

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

/** Standard deviation of y for a true resistance. */
export function ohmsDeviation(meter: Meter, p: Prediction): number {
  // 5 % part tolerance, meter gain, contact resistance that changes from touch to touch
  const relative = Math.hypot(0.05, meter.gainRatio) * (p.ohms / (p.ohms + OFFSET_OHMS));
  const contact = meter.contactOhms / (p.ohms + OFFSET_OHMS);
  return Math.hypot(relative, contact, p.spread, 0.03);
}

export function ohmsScale(ohms: number): number {
  return Math.log(Math.max(ohms, 0) + OFFSET_OHMS);
}

function ohmsFit(meter: Meter, measured: number, p: Prediction): number {
  // Junctions and surface leakage can carry a high reading that no resistance explains.
  const stray = measured > meter.junctionOhms && measured < p.ohms ? 1 / SCALE_SPAN : 0;
  if (p.ohms > meter.rangeOhms) return 0.5 * stray;
  const sd = ohmsDeviation(meter, p);
  const z = (ohmsScale(measured) - ohmsScale(p.ohms)) / sd;
  const density = Math.exp(-0.5 * z * z) / (sd * Math.sqrt(2 * Math.PI));
  const share = p.ohms > meter.junctionOhms ? 0.15 : 0;
  return (1 - share) * density + share * stray;
}

function ohmsOverFit(meter: Meter, p: Prediction): number {
  if (p.ohms > meter.rangeOhms) return 0.75;
  const z =
    (ohmsScale(meter.rangeOhms) - ohmsScale(p.ohms)) / Math.max(ohmsDeviation(meter, p), 0.1);
  return 1 - normalBelow(z);
}

/** Above this a junction may be carrying the current, V. */
const JUNCTION_FLOOR_VOLTS = 0.1;

function voltsFit(meter: Meter, measured: number, p: Prediction): number {
  const linear = p.ohms * meter.diodeAmps;
  const stray = measured > JUNCTION_FLOOR_VOLTS && measured < linear + 0.02 ? 1 / VOLT_SPAN : 0;
  if (linear > meter.diodeVolts) return 0.5 * stray;
  const sd = Math.hypot(0.005, linear * Math.hypot(0.05, p.spread));
  const z = (measured - linear) / sd;
  const density = Math.exp(-0.5 * z * z) / (sd * Math.sqrt(2 * Math.PI));
  const share = linear > JUNCTION_FLOOR_VOLTS ? 0.5 : 0;
  return (1 - share) * density + share * stray;
}

function diodeOverFit(meter: Meter, p: Prediction): number {
  return p.ohms * meter.diodeAmps > meter.diodeVolts ? 0.5 : 0.001;
}

/** Which way the circuit must change to fit a value it does not fit. */
export function wanted(meter: Meter, value: ReadingValue, ohms: number): 'lower' | 'higher' {
  switch (value.kind) {
    case 'beep':
      return 'lower';
    case 'quiet':
    case 'over':
      return 'higher';
    case 'ohms':
      return ohms > value.ohms ? 'lower' : 'higher';
    case 'volts':
      return ohms * meter.diodeAmps > value.volts ? 'lower' : 'higher';
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
      return (value.volts / meter.diodeAmps) * 1.3 + 1;
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
