import { addOuter, type Cholesky, cholesky, dot, LogTotal, solve } from './gauss.ts';
import type { OhmsComponent } from './ohms-prior.ts';

/** What some readings would be if one thing were so, less the ohms of the short itself. */
export interface CopperCase {
  /** By layout: Ω by reading. */
  readonly layouts: readonly Float64Array[];
  /** Row-major: covariance from stretches of copper, Ω². */
  readonly copper: Float64Array;
  /** Ω by reading from links, and their covariance. */
  readonly linkOhms: Float64Array;
  readonly links: Float64Array;
  /** By reading: how much of the short's own ohms it shows. */
  readonly share: Float64Array;
}

/** What was read, for the readings of a case. */
export interface Measured {
  readonly ohms: Float64Array;
  /** Standard deviation of each, Ω. */
  readonly noise: Float64Array;
  /** Standard deviation of the gain they have in common, as a ratio. */
  readonly gain: number;
  /** Chance of each being wrong, and ln of the density of a wrong one. */
  readonly slip: number;
  readonly logSlip: Float64Array;
}

/**
 * Copper nobody knows: thickness and width of all of it are off by a common factor, these or ones
 * between; then that of each net by so much more. Defaults.
 */
const SCALES = [0.4, 1, 2.5];
const SCALE_WEIGHTS = [0.25, 0.5, 0.25];
const LAYOUT_SPREAD = 0.5;

/** A Gaussian of the readings, with the weight it has before and after them. */
export interface Settled {
  readonly scale: number;
  readonly short: OhmsComponent;
  /** ln of weight and density. */
  readonly log: number;
}

/** A case at one thickness of the copper, with all that the ohms of the short do not change. */
interface Prepared {
  readonly scale: number;
  readonly logWeight: number;
  readonly factor: Cholesky;
  /** S⁻¹ times the error, and times the short's share. */
  readonly solved: Float64Array;
  readonly shared: Float64Array;
  /** Products of share and share, share and error, error and error by way of S⁻¹. */
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

/** What the ohms of the short do not change of a case: shorts of one place differ in nothing else. */
export function prepare(one: CopperCase, measured: Measured): readonly Prepared[] {
  return SCALES.map((scale, k) => {
    const { factor, error } = spreadOf(one, measured, scale);
    const solved = solve(factor, error);
    const shared = solve(factor, one.share);
    return {
      scale,
      logWeight: Math.log(SCALE_WEIGHTS[k] as number),
      factor,
      solved,
      shared,
      a: dot(one.share, shared),
      b: dot(one.share, solved),
      c: dot(error, solved),
    };
  });
}

/**
 * ln of the density of the readings in a case: a sum over what is common to all of them (thickness
 * of the copper, ohms of the short), each term a Gaussian. Any one reading may be a slip.
 * @param told is given every term: ln of weight and density
 */
export function weighCase(
  prepared: readonly Prepared[],
  measured: Measured,
  shorts: readonly OhmsComponent[],
  told?: (scale: number, short: OhmsComponent, log: number) => void,
): number {
  const total = new LogTotal();
  for (const one of prepared) {
    for (const short of shorts) {
      const log = one.logWeight + Math.log(short.weight) + termLog(measured, one, short);
      total.add(log);
      told?.(one.scale, short, log);
    }
  }
  return total.log;
}

/** Covariance of the readings at one thickness of the copper, and what the copper leaves unexplained. */
export function spreadOf(
  one: CopperCase,
  measured: Measured,
  scale: number,
): { factor: Cholesky; error: Float64Array } {
  const n = measured.ohms.length;
  const s = covariance(one, scale);
  for (let k = 0; k < n; k++) s[k * n + k]! += (measured.noise[k] as number) ** 2;
  addOuter(s, measured.ohms, measured.gain ** 2);
  const error = new Float64Array(n);
  for (let k = 0; k < n; k++) error[k] = (measured.ohms[k] as number) - meanOf(one, scale, k);
  return { factor: cholesky(s, n, s), error };
}

/** Ω of a reading from copper and links. */
export function meanOf(one: CopperCase, scale: number, k: number): number {
  let sum = 0;
  for (const layout of one.layouts) sum += layout[k] as number;
  return scale * sum + (one.linkOhms[k] as number);
}

/** Covariance of the readings from copper and links, Ω². */
export function covariance(one: CopperCase, scale: number): Float64Array {
  const s = new Float64Array(one.copper.length);
  for (let k = 0; k < s.length; k++) {
    s[k] = scale * scale * (one.copper[k] as number) + (one.links[k] as number);
  }
  for (const layout of one.layouts) addOuter(s, layout, (scale * LAYOUT_SPREAD) ** 2);
  return s;
}

/** With the short's ohms known to within a deviation: one more common term, by Sherman and Morrison. */
function termLog(
  { slip, logSlip }: Measured,
  { factor: { n, logDet, precision }, solved, shared, a, b, c }: Prepared,
  { mean, deviation }: OhmsComponent,
): number {
  const variance = deviation ** 2;
  const grown = 1 + variance * a;
  const left = b - mean * a;
  const whole =
    logDet +
    Math.log(grown) +
    c -
    2 * mean * b +
    mean * mean * a -
    (variance / grown) * left * left;
  const all = -0.5 * (n * LOG_TWO_PI + whole);
  const right = Math.log1p(-slip);
  const wrong = Math.log(slip);
  const total = new LogTotal();
  total.add(n * right + all);
  for (let k = 0; k < n; k++) {
    const own = shared[k] as number;
    const pull = (solved[k] as number) - mean * own - (variance / grown) * own * left;
    const sharp = (precision[k] as number) - (variance / grown) * own * own;
    const without = -0.5 * ((n - 1) * LOG_TWO_PI + whole + Math.log(sharp) - (pull * pull) / sharp);
    total.add(wrong + (n - 1) * right + (logSlip[k] as number) + without);
  }
  return total.log;
}

const LOG_TWO_PI = Math.log(2 * Math.PI);
