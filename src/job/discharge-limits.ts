/** Figures of the discharge gate, in one place, so that a shop can bring its own. */

import { formatJoules, formatVolts } from '../board/units.ts';

export interface DischargeLimits {
  /** Above this a residual voltage is warned of, V: readings are off, and it is no empty capacitor. */
  readonly warnVolts: number;
  /** Above this no cold reading is taken, V. */
  readonly refuseVolts: number;
  /** From this on no cold reading is taken, J. */
  readonly refuseJoules: number;
  /** A residual is asked for from this charge on where the voltage may exceed `refuseVolts`, C. */
  readonly askCoulombs: number;
  /** And, whatever the voltage, from this energy on, J. */
  readonly askJoules: number;
  /** Minutes after which an electrolytic that was discharged is measured again. */
  readonly recoverMinutes: number;
}

/**
 * 60 V DC: what bare hands may touch, IEC 62368-1 class ES1. 10 J: the shock-hazard line for
 * capacitors in the electrical safety programme of Lawrence Berkeley National Laboratory. 45 µC: what
 * may be left on bare parts, IEC 61010-1 and IEC 60335-1. Below 1 V, then minutes later again: usual
 * practice against dielectric absorption (US Department of Energy, electrical safety handbook). 10 mJ and
 * 5 minutes are estimates of our own.
 */
export const DEFAULT_DISCHARGE_LIMITS: DischargeLimits = {
  warnVolts: 1,
  refuseVolts: 60,
  refuseJoules: 10,
  askCoulombs: 45e-6,
  askJoules: 0.01,
  recoverMinutes: 5,
};

/** Where the two lines of refusal come from, in a few words. */
const SOURCES = {
  refuseVolts: 'IEC 62368-1, ES1',
  refuseJoules: 'capacitor hazard line of Berkeley Lab’s electrical safety programme',
} as const;

/** `60 V (IEC 62368-1, ES1) or 10 J (…)`: the lines of refusal with where they come from. */
export function limitText(limits: DischargeLimits): string {
  const source = (key: keyof typeof SOURCES): string =>
    limits[key] === DEFAULT_DISCHARGE_LIMITS[key] ? SOURCES[key] : 'figure of this shop';
  const volts = `${formatVolts(limits.refuseVolts)} (${source('refuseVolts')})`;
  return `${volts} or ${formatJoules(limits.refuseJoules)} (${source('refuseJoules')})`;
}
