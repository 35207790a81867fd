/** A resistance nobody knows, as a sum of Gaussians that covers its log-normal chance. */
export interface OhmsComponent {
  readonly weight: number;
  /** Ω. */
  readonly mean: number;
  readonly deviation: number;
}

/** How far the components reach, in standard deviations of ln Ω, and how much they overlap. */
const REACH = 2.2;
const OVERLAP = 0.75;

/**
 * @param median Ω
 * @param spread standard deviation of ln Ω
 * @param count how many; the more, the finer
 */
export function ohmsComponents(median: number, spread: number, count: number): OhmsComponent[] {
  const step = (2 * REACH) / (count - 1);
  const found: OhmsComponent[] = [];
  for (let k = 0; k < count; k++) {
    const x = -REACH + k * step;
    const mean = median * Math.exp(x * spread);
    const deviation = mean * Math.max(OVERLAP * step * spread, 0.02);
    found.push({ weight: Math.exp(-0.5 * x * x), mean, deviation });
  }
  const total = found.reduce((sum, { weight }) => sum + weight, 0);
  return found.map((one) => ({ ...one, weight: one.weight / total }));
}
