/** Small dense Gaussians: covariance matrices are row-major, symmetric, of n rows. */

/** S = L·Lᵀ of a covariance. */
export interface Cholesky {
  readonly n: number;
  /** Row-major, lower. */
  readonly lower: Float64Array;
  /** ln of the determinant of S. */
  readonly logDet: number;
  /** Length n: diagonal of S⁻¹. */
  readonly precision: Float64Array;
}

/**
 * @param lower is written to; may be the matrix itself, when that is not needed any more
 * @throws {RangeError} when the matrix is not positive definite
 */
export function cholesky(
  s: Float64Array,
  n: number,
  lower: Float64Array = new Float64Array(n * n),
): Cholesky {
  let logDet = 0;
  for (let r = 0; r < n; r++) {
    for (let c = 0; c <= r; c++) {
      let sum = s[r * n + c] as number;
      for (let k = 0; k < c; k++) {
        sum -= (lower[r * n + k] as number) * (lower[c * n + k] as number);
      }
      if (r === c) {
        if (!(sum > 0)) throw new RangeError('a covariance that is not positive definite');
        lower[r * n + r] = Math.sqrt(sum);
        logDet += Math.log(sum);
      } else lower[r * n + c] = sum / (lower[c * n + c] as number);
    }
  }
  return { n, lower, logDet, precision: precisions(lower, n) };
}

/** Diagonal of (L·Lᵀ)⁻¹: sums of squares down the columns of L⁻¹. */
function precisions(lower: Float64Array, n: number): Float64Array {
  const found = new Float64Array(n);
  const column = new Float64Array(n);
  for (let c = 0; c < n; c++) {
    for (let r = c; r < n; r++) {
      let sum = r === c ? 1 : 0;
      for (let k = c; k < r; k++) sum -= (lower[r * n + k] as number) * (column[k] as number);
      column[r] = sum / (lower[r * n + r] as number);
      found[c]! += (column[r] as number) ** 2;
    }
  }
  return found;
}

/** S⁻¹·x. */
export function solve({ n, lower }: Cholesky, x: Float64Array): Float64Array {
  const y = new Float64Array(n);
  for (let r = 0; r < n; r++) {
    let sum = x[r] as number;
    for (let k = 0; k < r; k++) sum -= (lower[r * n + k] as number) * (y[k] as number);
    y[r] = sum / (lower[r * n + r] as number);
  }
  for (let r = n - 1; r >= 0; r--) {
    let sum = y[r] as number;
    for (let k = r + 1; k < n; k++) sum -= (lower[k * n + r] as number) * (y[k] as number);
    y[r] = sum / (lower[r * n + r] as number);
  }
  return y;
}

/** xᵀ·S⁻¹·x, which x is used up for. */
export function quadratic({ n, lower }: Cholesky, x: Float64Array): number {
  let whole = 0;
  for (let r = 0; r < n; r++) {
    let sum = x[r] as number;
    for (let k = 0; k < r; k++) sum -= (lower[r * n + k] as number) * (x[k] as number);
    sum /= lower[r * n + r] as number;
    x[r] = sum;
    whole += sum * sum;
  }
  return whole;
}

export function dot(x: Float64Array, y: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < x.length; k++) sum += (x[k] as number) * (y[k] as number);
  return sum;
}

/** s += factor·x·xᵀ. */
export function addOuter(s: Float64Array, x: Float64Array, factor: number): void {
  const n = x.length;
  for (let r = 0; r < n; r++) {
    const scaled = factor * (x[r] as number);
    if (scaled === 0) continue;
    for (let c = 0; c < n; c++) s[r * n + c]! += scaled * (x[c] as number);
  }
}

/** ln of a sum of exponentials, told one after the other. */
export class LogTotal {
  #most = Number.NEGATIVE_INFINITY;
  #sum = 0;

  add(log: number): void {
    if (log === Number.NEGATIVE_INFINITY) return;
    if (log <= this.#most) this.#sum += Math.exp(log - this.#most);
    else {
      this.#sum = this.#sum * Math.exp(this.#most - log) + 1;
      this.#most = log;
    }
  }

  get log(): number {
    return this.#most + Math.log(this.#sum);
  }
}

/** ln of the sum of exponentials. */
export function logSum(values: readonly number[]): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const value of values) most = Math.max(most, value);
  if (most === Number.NEGATIVE_INFINITY) return most;
  let sum = 0;
  for (const value of values) sum += Math.exp(value - most);
  return most + Math.log(sum);
}

/** A Gaussian of some values. */
export interface Foreseen {
  readonly mean: Float64Array;
  /** Row-major. */
  readonly covariance: Float64Array;
}

/**
 * The last values of a Gaussian, given the first ones.
 * @param means of all values
 * @param s their covariance
 * @param given the first values
 */
export function conditioned(
  means: readonly number[],
  s: Float64Array,
  given: readonly number[],
): Foreseen {
  const all = means.length;
  const n = given.length;
  const m = all - n;
  const mean = Float64Array.from(means.slice(n));
  const left = new Float64Array(m * m);
  for (let r = 0; r < m; r++) {
    for (let c = 0; c < m; c++) left[r * m + c] = s[(n + r) * all + n + c] as number;
  }
  if (n === 0) return { mean, covariance: left };
  const own = new Float64Array(n * n);
  for (let r = 0; r < n; r++) for (let c = 0; c < n; c++) own[r * n + c] = s[r * all + c] as number;
  const factor = cholesky(own, n, own);
  const error = Float64Array.from(given, (value, k) => value - (means[k] as number));
  const pull = solve(factor, error);
  const shared = Array.from({ length: m }, (_, r) =>
    Float64Array.from({ length: n }, (__, k) => s[(n + r) * all + k] as number),
  );
  const solved = shared.map((row) => solve(factor, row));
  for (let r = 0; r < m; r++) {
    mean[r]! += dot(shared[r] as Float64Array, pull);
    for (let c = 0; c < m; c++) {
      left[r * m + c]! -= dot(shared[r] as Float64Array, solved[c] as Float64Array);
    }
  }
  return { mean, covariance: left };
}
