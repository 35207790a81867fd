import type { Meter } from '../../circuit/meter.ts';
import type { MeterMode, ReadingValue } from '../../circuit/reading.ts';

/** How far the figures of one steady contact may lie apart: a share of them, or this much, Ω or V. */
const APART: Readonly<Record<MeterMode, { readonly ratio: number; readonly least: number }>> = {
  // The beeper's side of the threshold is all that counts.
  continuity: { ratio: Number.POSITIVE_INFINITY, least: 0 },
  ohms: { ratio: 0.02, least: 0.1 },
  'low-voltage': { ratio: 0.02, least: 0.1 },
  'four-wire': { ratio: 0.02, least: 1e-3 },
  diode: { ratio: 0.01, least: 5e-3 },
  millivolts: { ratio: 0.02, least: 20e-6 },
};

/** Digits that touch and lead resistance leave standing. */
const DIGITS = 4;

/**
 * What figures that a contact gave one after the other are as a reading; undefined while they have not
 * settled, or where no passive board gives them.
 * @param numbers Ω or V, at least one
 * @param beepOhms the beeper sounds below this
 */
export function judge(
  mode: MeterMode,
  numbers: readonly number[],
  beepOhms: number,
): ReadingValue | undefined {
  const sorted = [...numbers].sort((a, b) => a - b);
  const least = sorted[0] ?? Number.NaN;
  const most = sorted.at(-1) ?? Number.NaN;
  const middle = sorted[(sorted.length - 1) >> 1] ?? Number.NaN;
  const apart = APART[mode];
  if (mode === 'continuity') {
    if (least < -BELOW_ZERO.continuity) return undefined;
    if (most < beepOhms) return { kind: 'beep' };
    return least >= beepOhms ? { kind: 'quiet' } : undefined;
  }
  if (most - least > Math.max(apart.ratio * Math.abs(middle), apart.least)) return undefined;
  const number = Number(middle.toPrecision(DIGITS));
  if (mode === 'millivolts') return { kind: 'volts', volts: number };
  if (middle < -BELOW_ZERO[mode]) return undefined;
  const size = Math.max(0, number);
  return mode === 'diode' ? { kind: 'volts', volts: size } : { kind: 'ohms', ohms: size };
}

/** A null that was taken with other leads leaves this much below zero, Ω or V; more is a voltage on the points. */
const BELOW_ZERO: Readonly<Record<Exclude<MeterMode, 'millivolts'>, number>> = {
  continuity: 0.5,
  ohms: 0.5,
  'low-voltage': 0.5,
  'four-wire': 5e-3,
  diode: 0.02,
};

/** Whether a figure is below what a passive board and a poor null can give: charge is left on the points. */
export function isBelowZero(mode: MeterMode, number: number): boolean {
  return mode !== 'millivolts' && number < -BELOW_ZERO[mode];
}

/** Whether a figure is what the tips of both probes give when they touch each other. */
export function isTipToTip(mode: MeterMode, number: number, leadOhms: number): boolean {
  if (mode === 'millivolts') return false;
  if (mode === 'diode') return Math.abs(number) < 0.02;
  return Math.abs(number) < (mode === 'four-wire' ? 0.5 : 1 + 2 * leadOhms);
}

/** From here on a resistance may be fingers or a mat, and says no more to a beeper than open probes, Ω. */
const FINGERS_OHMS = 1e6;

/**
 * From which figure on open probes are meant, Ω or V: what the meter, by its figures, would not show any
 * more. Instruments that show gigohms with nothing on their leads are no exception.
 */
export function openFrom(mode: MeterMode, meter: Meter): number {
  if (mode === 'continuity') return FINGERS_OHMS;
  if (mode === 'millivolts') return Number.POSITIVE_INFINITY;
  const drive = meter.drives[mode];
  if (mode === 'diode') return drive?.volts ?? meter.diodeVolts;
  return drive?.ranges.at(-1)?.ohms ?? meter.rangeOhms;
}
