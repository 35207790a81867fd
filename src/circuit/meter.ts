import type { MeterMode } from './reading.ts';

/** One range of a mode: the most it can show, Ω (Infinity: bound by the volts alone), at which current, A. */
export interface Range {
  readonly ohms: number;
  readonly amps: number;
}

/** How a mode drives the points: a current source that gives up at a voltage. */
export interface Drive {
  /** Lowest first; an automatic meter stays in the first that can show the reading. */
  readonly ranges: readonly Range[];
  /** Most volts it drives, or shows; what would take more reads OL. */
  readonly volts: number;
}

/** What the tool must know of a meter. Resistances in Ω, currents in A, voltages in V. */
export interface Meter {
  readonly name: string;
  /** The beeper sounds below this… */
  readonly beepOhms: number;
  /** …give or take this much (one standard deviation, as a ratio of ln Ω). */
  readonly beepSpread: number;
  /** Resistance of both leads and contacts together, left in every two-wire reading. */
  readonly leadOhms: number;
  /** Standard deviation of contact and lead resistance between readings. */
  readonly contactOhms: number;
  /** Gain error, ratio. */
  readonly gainRatio: number;
  /** Above this the ohms mode shows OL. */
  readonly rangeOhms: number;
  /** Diode test current, and the voltage above which it shows OL. */
  readonly diodeAmps: number;
  readonly diodeVolts: number;
  /** Modes the meter has, and how each drives the points. */
  readonly drives: Readonly<Partial<Record<MeterMode, Drive>>>;
  /** Below this many ohms no junction carries a notable share of an ohms reading. */
  readonly junctionOhms: number;
}

/**
 * A common handheld: threshold 30 Ω (published ones run from 10 Ω to 120 Ω with ±10–30 Ω), leads
 * 0.2 Ω with what is left after a null, 1 mA diode test to 2 V. Defaults; a shop sets its own.
 */
export const COMMON_HANDHELD: Meter = {
  name: 'common handheld',
  beepOhms: 30,
  beepSpread: 0.2,
  leadOhms: 0.2,
  contactOhms: 0.1,
  gainRatio: 0.01,
  rangeOhms: 40e6,
  diodeAmps: 1e-3,
  diodeVolts: 2,
  junctionOhms: 120,
  drives: {
    continuity: { ranges: [{ ohms: 400, amps: 1e-3 }], volts: 3 },
    // 0.4 V at full scale in every range, as the published 4000-count handhelds
    ohms: {
      ranges: [
        { ohms: 400, amps: 1e-3 },
        { ohms: 4e3, amps: 1e-4 },
        { ohms: 40e3, amps: 1e-5 },
        { ohms: 400e3, amps: 1e-6 },
        { ohms: 4e6, amps: 1e-7 },
        { ohms: 40e6, amps: 1e-8 },
      ],
      volts: 1.2,
    },
    diode: { ranges: [{ ohms: Number.POSITIVE_INFINITY, amps: 1e-3 }], volts: 2 },
  },
};

/** Standard normal distribution function; Abramowitz & Stegun 7.1.26, error below 1.5e-7. */
export function normalBelow(z: number): number {
  const x = Math.abs(z) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * x);
  const poly =
    t *
    (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  const erf = 1 - poly * Math.exp(-x * x);
  return z >= 0 ? (1 + erf) / 2 : (1 - erf) / 2;
}

/**
 * Chance that the beeper sounds across `ohms`.
 * @param spread standard deviation of ln Ω of the circuit's own resistance
 */
export function beepChance(meter: Meter, ohms: number, spread: number): number {
  if (ohms === Number.POSITIVE_INFINITY) return 0;
  const total = Math.hypot(meter.beepSpread, spread);
  return normalBelow(Math.log(meter.beepOhms / (ohms + meter.leadOhms)) / total);
}
