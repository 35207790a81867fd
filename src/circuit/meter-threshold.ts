import { beepChance, type Meter } from './meter.ts';
import type { Trial } from './meter-trials.ts';

/** Where a beeper stops, as touches of known resistors have it; Ω between the probe tips and leads. */
export interface Threshold {
  readonly ohms: number;
  /** One standard deviation of ln Ω: the beeper's own wandering, and what the touches leave open. */
  readonly spread: number;
  /** The threshold lies between these with a chance of 95 %. */
  readonly low: number;
  readonly high: number;
  /** Highest resistor that beeped and lowest that stayed quiet, Ω. */
  readonly bracket: Bracket;
}

export interface Bracket {
  readonly beep: number;
  readonly quiet: number;
}

const OHM_STEPS = 500;
/** The wandering of one beeper from touch to touch, as a ratio. */
const SPREADS: readonly number[] = Array.from({ length: 20 }, (_, k) => 0.01 * 1.23 ** k);
/** One beeper is a comparator and wanders by some 5 %, half or twice that; a default. */
const USUAL_SPREAD = 0.05;
const SPREAD_FACTOR = 2;
/** Share of touches that went wrong: a missed pad, a note of the wrong line. */
const SLIP_RATIO = 0.005;
const LEAST_SPREAD = 0.02;
/** Chance outside each end of the interval given. */
const TAIL = 0.025;

/**
 * The threshold of greatest likelihood under the model of {@link beepChance}, over a grid of
 * thresholds and spreads. With clean beeps and quiets the likelihood of one threshold would grow
 * for ever as the spread shrinks, so it is summed over spreads, each counting as it is met in
 * beepers; the greatest is then in the middle of the gap.
 * @param meter with the leads, contact and gain already found
 */
export function fitThreshold(trials: readonly Trial[], meter: Meter, bracket: Bracket): Threshold {
  const sounds = trials.flatMap(({ kind, ohms }) =>
    kind === 'shows' ? [] : [{ ohms, beeps: kind === 'beep' }],
  );
  const grid = gridAround(bracket, meter);
  const masses = grid.map((beepOhms) =>
    SPREADS.map(
      (beepSpread) => met(beepSpread) * likelihood(sounds, { ...meter, beepOhms, beepSpread }),
    ),
  );
  const chances = normalized(masses.map((row) => row.reduce((sum, mass) => sum + mass, 0)));
  const best = chances.indexOf(Math.max(...chances));
  const ohms = grid[best] ?? meter.beepOhms;
  const wander = spreadIn(masses);
  const open = deviation(grid, chances);
  return {
    ohms: Number(ohms.toPrecision(3)),
    spread: Number(Math.max(LEAST_SPREAD, Math.hypot(wander, open)).toPrecision(2)),
    low: Number(quantile(grid, chances, TAIL).toPrecision(3)),
    high: Number(quantile(grid, chances, 1 - TAIL).toPrecision(3)),
    bracket,
  };
}

/** Even steps of ln Ω, wide enough that nothing likely lies outside. */
function gridAround({ beep, quiet }: Bracket, { leadOhms }: Meter): number[] {
  const low = (Math.min(beep, quiet) + leadOhms) / 3;
  const high = (Math.max(beep, quiet) + leadOhms) * 3;
  const step = Math.log(high / low) / (OHM_STEPS - 1);
  return Array.from({ length: OHM_STEPS }, (_, k) => low * Math.exp(k * step));
}

/** How often a beeper wanders so much, up to a factor. */
function met(spread: number): number {
  const z = Math.log(spread / USUAL_SPREAD) / Math.log(SPREAD_FACTOR);
  return Math.exp(-0.5 * z * z);
}

function likelihood(
  sounds: readonly { readonly ohms: number; readonly beeps: boolean }[],
  meter: Meter,
): number {
  return sounds.reduce((product, { ohms, beeps }) => {
    const chance = beepChance(meter, ohms, meter.contactOhms / (ohms + meter.leadOhms));
    return product * (SLIP_RATIO / 2 + (1 - SLIP_RATIO) * (beeps ? chance : 1 - chance));
  }, 1);
}

function normalized(masses: readonly number[]): number[] {
  const sum = masses.reduce((all, mass) => all + mass, 0);
  return masses.map((mass) => mass / sum);
}

/** Root mean square of the spreads, each weighed by its likelihood. */
function spreadIn(masses: readonly (readonly number[])[]): number {
  let sum = 0;
  let squares = 0;
  for (const row of masses) {
    row.forEach((mass, k) => {
      sum += mass;
      squares += mass * (SPREADS[k] ?? 0) ** 2;
    });
  }
  return Math.sqrt(squares / sum);
}

/** Standard deviation of ln Ω over the grid. */
function deviation(grid: readonly number[], chances: readonly number[]): number {
  const mean = grid.reduce((sum, ohms, k) => sum + Math.log(ohms) * (chances[k] ?? 0), 0);
  const square = grid.reduce(
    (sum, ohms, k) => sum + (Math.log(ohms) - mean) ** 2 * (chances[k] ?? 0),
    0,
  );
  return Math.sqrt(square);
}

function quantile(grid: readonly number[], chances: readonly number[], share: number): number {
  let sum = 0;
  for (const [k, chance] of chances.entries()) {
    sum += chance;
    if (sum >= share) return grid[k] ?? 0;
  }
  return grid.at(-1) ?? 0;
}

/** Values of the E12 series, IEC 60063, within a decade. */
const E12: readonly number[] = [1, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2];

/** The E12 resistor nearest to a value by ratio, Ω. */
export function resistorNear(ohms: number): number {
  const decade = 10 ** Math.floor(Math.log10(ohms));
  const choices = [...E12.map((digits) => digits * decade), 10 * decade];
  const distance = (value: number): number => Math.abs(Math.log(value / ohms));
  const best = choices.reduce((a, b) => (distance(b) < distance(a) ? b : a));
  return Number(best.toPrecision(2));
}

/** The E12 resistor nearest to the middle of two, when one lies between them. */
export function resistorBetween(low: number, high: number): number | undefined {
  const middle = resistorNear(Math.sqrt(low * high));
  return middle > low && middle < high ? middle : undefined;
}
