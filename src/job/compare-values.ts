/** When two meter values are the same, and when one of them is a short. */
import { COMMON_HANDHELD } from '../circuit/meter.ts';
import type { MeterValue } from './value.ts';

/** How far two values may lie apart and still be one. */
export interface Tolerance {
  /** Share of the larger value; default 0.05. */
  readonly relative: number;
  /** Ω, added to the share: leads and contacts differ; default 0.3. */
  readonly ohms: number;
  /** Ω, in its place where both readings are four-wire; default 0.002. */
  readonly fourWireOhms: number;
  /** V, added to the share; default 0.02. */
  readonly volts: number;
  /** Ω below which a value is a short; default the common handheld's beeper, 30. */
  readonly shortOhms: number;
  /** V below which a diode reading is a short; default 0.1. */
  readonly shortVolts: number;
}

export const USUAL_TOLERANCE: Tolerance = {
  relative: 0.05,
  ohms: 0.3,
  fourWireOhms: 0.002,
  volts: 0.02,
  shortOhms: COMMON_HANDHELD.beepOhms,
  shortVolts: 0.1,
};

/** Whether the two points conduct as a short does. */
export function conducts({ value }: MeterValue, tolerance: Tolerance): boolean {
  switch (value.kind) {
    case 'beep':
      return true;
    case 'ohms':
      return value.ohms < tolerance.shortOhms;
    case 'volts':
      return value.volts < tolerance.shortVolts;
    default:
      return false;
  }
}

/** Whether two values of one mode family agree, as far as both can tell. */
export function agrees(a: MeterValue, b: MeterValue, tolerance: Tolerance): boolean {
  if (a.value.kind === 'ohms' && b.value.kind === 'ohms') {
    const isFine = a.mode === 'four-wire' && b.mode === 'four-wire';
    const slack = isFine ? tolerance.fourWireOhms : tolerance.ohms;
    return isNear(a.value.ohms, b.value.ohms, tolerance.relative, slack);
  }
  if (a.value.kind === 'volts' && b.value.kind === 'volts') {
    return isNear(a.value.volts, b.value.volts, tolerance.relative, tolerance.volts);
  }
  // Over range on an ohms or diode range is a value of its own; a silent beeper fits any high one.
  const isOver = (x: MeterValue): boolean => x.value.kind === 'over' && hasWideRange(x);
  const isNumber = (x: MeterValue): boolean => x.value.kind === 'ohms' || x.value.kind === 'volts';
  if ((isOver(a) && isNumber(b)) || (isOver(b) && isNumber(a))) return false;
  return conducts(a, tolerance) === conducts(b, tolerance);
}

function hasWideRange({ mode }: MeterValue): boolean {
  return mode === 'ohms' || mode === 'diode';
}

function isNear(a: number, b: number, relative: number, slack: number): boolean {
  return Math.abs(a - b) <= relative * Math.max(a, b) + slack;
}
