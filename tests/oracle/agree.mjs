// When two sides say the same of a reading.

import { leadOhmsOf, shownBy } from './meter.mjs';

/** Ratios and volts two sides may differ by: where resistances alone count, and where junctions do. */
const LINEAR = { ratio: 1e-3, volts: 1e-9 };
const JUNCTION = { ratio: 0.02, volts: 5e-3 };
const JUNCTION_MODES = ['ohms', 'diode'];

/** @param lit whether a junction is within reach of the points */
export function toleranceOf(mode, lit) {
  return lit && JUNCTION_MODES.includes(mode) ? JUNCTION : LINEAR;
}

/**
 * @param voltsAt volts across the points for a current, by the simulator
 * @param shown what the program says the meter shows
 * @param tolerance from `toleranceOf`
 * @returns `{ agrees, nominal, ratio, volts }`: `nominal` is what the meter shows by the simulator's
 *   volts, `ratio` and `volts` how far the two are apart, undefined unless both show a value on the
 *   same range
 */
export function compare(meter, mode, voltsAt, shown, tolerance) {
  const drive = meter.drives[mode];
  const lead = leadOhmsOf(meter, mode);
  const by = (sign) => shownBy(mode, drive, lead, voltsAt, sign * tolerance.ratio, tolerance.volts);
  const nominal = by(0);
  // On the edge of a range or of the ceiling either side of the edge is right.
  const allowed = [nominal, by(1), by(-1)];
  const agrees = allowed.some((each) => sameShown(each, shown, tolerance));
  const sure = agrees && sameBeep(meter, mode, nominal, shown);
  if (nominal.kind === 'over' || !sameRange(nominal, shown)) return { agrees: sure, nominal };
  const volts = Math.abs(nominal.value - shown.value) * perAmp(nominal);
  return { agrees: sure, nominal, ratio: volts / (nominal.value * perAmp(nominal) || 1), volts };
}

export function sameShown(expected, shown, tolerance) {
  if (expected.kind === 'over' || shown.kind === 'over') return expected.kind === shown.kind;
  if (!sameRange(expected, shown)) return false;
  const apart = Math.abs(expected.value - shown.value) * perAmp(expected);
  const size = Math.abs(expected.value) * perAmp(expected);
  return apart <= Math.max(tolerance.ratio * size, tolerance.volts);
}

/** Beeps by both or neither, or so near the threshold that the meter itself may go either way. */
function sameBeep(meter, mode, nominal, shown) {
  if (mode !== 'continuity') return true;
  const beeps = ({ kind, value }) => kind === 'ohms' && value < meter.beepOhms;
  if (beeps(nominal) === beeps(shown)) return true;
  return Math.abs(Math.log(nominal.value / meter.beepOhms)) <= meter.beepSpread;
}

/** What a value is multiplied with to be volts. */
function perAmp({ kind, amps }) {
  return kind === 'ohms' ? amps : 1;
}

function sameRange(a, b) {
  return a.kind === b.kind && Math.abs(a.amps - b.amps) <= 1e-9 * a.amps;
}
