/** Thermal voltage k·T/q at 300.15 K (27 °C), V. */
export const THERMAL_VOLTS: number = (1.380649e-23 * 300.15) / 1.602176634e-19;

/** The current at which the forward voltage of a junction is stated, A. */
const STATED_AMPS = 1e-3;

/** Past this many times n·V_T the exponential is not followed; no junction is left there. */
const MOST_EXPONENT = 200;
/** So far backwards a junction carries its saturation current, whatever the voltage. */
const LEAST_EXPONENT = -60;

/** An exponential junction, I = Iₛ·(exp(V / n·V_T) − 1). */
export interface JunctionLaw {
  /** Iₛ, A. */
  readonly saturationAmps: number;
  /** n·V_T, V. */
  readonly slopeVolts: number;
}

/**
 * The law of a junction.
 * @param volts forward voltage at 1 mA, V
 * @param slope emission coefficient n
 */
export function junctionLaw(volts: number, slope: number): JunctionLaw {
  const slopeVolts = slope * THERMAL_VOLTS;
  return { saturationAmps: STATED_AMPS / Math.expm1(volts / slopeVolts), slopeVolts };
}

/** A through the junction at a voltage. */
export function ampsAt({ saturationAmps, slopeVolts }: JunctionLaw, volts: number): number {
  return saturationAmps * Math.expm1(Math.min(volts / slopeVolts, MOST_EXPONENT));
}

/** V across the junction at a forward current of at least 0 A. */
export function voltsFor({ saturationAmps, slopeVolts }: JunctionLaw, amps: number): number {
  return slopeVolts * Math.log1p(amps / saturationAmps);
}

/** dI/dV, S. */
export function siemensAt({ saturationAmps, slopeVolts }: JunctionLaw, volts: number): number {
  const exponent = Math.min(volts / slopeVolts, MOST_EXPONENT);
  return exponent < LEAST_EXPONENT ? 0 : (saturationAmps / slopeVolts) * Math.exp(exponent);
}

/**
 * A Newton step that does not overshoot: where the exponential is steep, the step is taken in
 * current instead of voltage.
 * @remarks Nagel 1975, “SPICE2: A Computer Program to Simulate Semiconductor Circuits”, junction
 * voltage limiting.
 */
export function limitedStep(law: JunctionLaw, from: number, to: number): number {
  const { slopeVolts, saturationAmps } = law;
  if (to <= 0 || Math.abs(to - from) <= 2 * slopeVolts) return to;
  const critical = slopeVolts * Math.log(slopeVolts / (Math.SQRT2 * saturationAmps));
  if (to <= critical) return to;
  if (from <= 0) return slopeVolts * Math.log(to / slopeVolts);
  const grown = 1 + (to - from) / slopeVolts;
  return grown > 0 ? from + slopeVolts * Math.log(grown) : critical;
}
