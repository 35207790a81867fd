import type { Injection, Probe } from '../../circuit/reading.ts';
import { stateKey } from '../../circuit/state.ts';
import type { CopperFit } from '../../faults/copper/copper-fit.ts';
import {
  type CopperReading,
  clipped,
  foreseenReading,
} from '../../faults/copper/copper-readings.ts';
import type { GroupFit } from '../../faults/copper/group-fit.ts';
import type { Analysis } from '../advise.ts';
import type { Foresight } from '../foresight.ts';
import type { Scored } from '../score.ts';
import { copperOutlook } from './copper-outlook.ts';
import { copperProbes } from './copper-probes.ts';
import { copperSuspects } from './copper-suspects.ts';
import { afterOne, afterSeveral, type Foreseeing, type Narrowed, Search } from './narrowing.ts';
import { surveyStart } from './survey-start.ts';

/** Copper tells nothing new where less than this of the weight lies across it. */
const LEAST_WEIGHT = 0.1;
/** A reading that takes less than this of the doubt, nats, is not worth the probes. */
const LEAST_GAIN = 0.02;
/** How many readings ahead are looked at. */
const AHEAD = [2, 4, 6];

/**
 * Readings along the copper that would lead to the culprit sooner, best first; none where the meter
 * cannot take them. A first reading says nothing by itself, so what several lead to is looked at.
 */
export function copperSteps(analysis: Analysis, foresight: Foresight): Scored[] {
  const { workbench, beliefs, evidence } = analysis;
  const { meter, copper: map } = workbench.bench;
  const isOn = evidence.injection !== undefined;
  const injection = evidence.injection && clipped(map, evidence.injection);
  if (isOn ? injection === undefined : meter.drives['four-wire'] === undefined) return [];
  const copper = beliefs.problem.copper;
  const groups = copper?.groups ?? [];
  const found = groups.flatMap((_, k) =>
    stepsAlong(analysis, foresight, copper as CopperFit, k, injection),
  );
  return [...found, ...surveyStart(analysis, foresight, injection)];
}

function stepsAlong(
  analysis: Analysis,
  foresight: Foresight,
  copper: CopperFit,
  k: number,
  injection: Injection | undefined,
): Scored[] {
  const { workbench, beliefs, evidence } = analysis;
  const group = copper.groups[k] as GroupFit;
  const { suspects, weight } = copperSuspects(beliefs, copper, k, evidence.state);
  if (weight < LEAST_WEIGHT || suspects.length < 2) return [];
  const { board, clock } = workbench;
  const parts = suspects.map(({ part }) => part);
  const canReach = (pin: number) =>
    analysis.offers.canReach({ net: board.pins[pin]?.net ?? 0, pin });
  const fresh = copperProbes(board, group.group.copper, parts, canReach, injection).filter(
    (probe) => !isTaken(group, probe, analysis),
  );
  const further = fresh.map((probe, n) => foreseenReading(probe, -1 - n, evidence.state));
  if (further.length === 0) return [];
  const known = suspects.flatMap((suspect): Foreseeing[] => {
    const foreseen = group.foresee(suspect.short, further, suspect.departed);
    if (foreseen === undefined) return [];
    const { minutes, undoMinutes, aheadMinutes } = foresight.candidates.takingOut([suspect.part]);
    return [{ ...suspect, foreseen, wasted: minutes + undoMinutes, ahead: aheadMinutes }];
  });
  if (known.length < 2) return [];
  const now = new Search(known).narrowed(Float64Array.from(known, ({ weight }) => weight));
  if (now.minutes <= 0) return [];
  // The rest of the reasoning looks at these parts among others: what is saved here is saved of the whole.
  const scale = (minutes: number): number =>
    foresight.plainMinutes - weight * (now.minutes - minutes);
  const singles = fresh.map((probe, n): Single => {
    return { probe, n, after: afterOne(known, n), minutes: clock.read(probe) };
  });
  const order = inOrder(known, singles, now.doubt);
  const several = batches(known, order);
  const [first] = order;
  if (first === undefined) return [];
  const doubts = [first.after, ...several.map(({ after }) => after)].map(({ doubt }) => doubt);
  if (now.doubt - Math.min(...doubts) < LEAST_GAIN) return [];
  const ahead = several.map(({ count, after }) => count * first.minutes + scale(after.minutes));
  return order.slice(0, MOST_SCORED).map(({ probe, n, after, minutes }, place) => {
    const alone = minutes + scale(after.minutes);
    // Others of much the same use lead to as much; only the best is worth working out.
    const whole = place === 0 ? Math.min(alone, ...ahead) : Math.max(alone, ...ahead);
    const at = ahead.indexOf(whole);
    return {
      readings: at < 0 ? 1 : (several[at]?.count ?? 1),
      candidate: foresight.candidates.reading(probe),
      outlook: copperOutlook(analysis, known, n, {
        gain: now.doubt - after.doubt,
        minutesAfter: after.minutes,
        amps: injection?.amps,
      }),
      extraMinutes: minutes,
      whole,
    };
  });
}

/** A reading with what it leaves by itself. */
interface Single {
  readonly probe: Probe;
  readonly n: number;
  readonly after: Narrowed;
  readonly minutes: number;
}

/**
 * Readings that tell most, best first. Where none tells anything by itself (what is common to the next
 * ones is not known yet), the two whose difference tells most come first, then others beside the first.
 */
function inOrder(
  known: readonly Foreseeing[],
  singles: readonly Single[],
  doubt: number,
): Single[] {
  const order = [...singles].sort((x, y) => x.after.doubt - y.after.doubt);
  const best = order[0];
  if (best === undefined || doubt - best.after.doubt > TELLING_GAIN) return order;
  let pair: readonly [Single, Single] | undefined;
  let most = 0;
  singles.forEach((one, k) => {
    for (const other of singles.slice(k + 1)) {
      const ratio = differenceRatio(known, one.n, other.n);
      if (ratio > most) {
        most = ratio;
        pair = [one, other];
      }
    }
  });
  if (pair === undefined) return order;
  const [first, second] = pair;
  const rest = order
    .filter((one) => one !== first && one !== second)
    .map((one) => ({ one, ratio: differenceRatio(known, first.n, one.n) }))
    .sort((x, y) => y.ratio - x.ratio);
  return [first, second, ...rest.map(({ one }) => one)];
}

/** A single reading that tells this much, nats, is worth taking for itself. */
const TELLING_GAIN = 0.1;

/** How far the suspects differ in what lies between two readings, over how little that is known of each. */
function differenceRatio(known: readonly Foreseeing[], one: number, other: number): number {
  let [mean, square, within] = [0, 0, 0];
  for (const { weight, foreseen } of known) {
    const m = foreseen.mean.length;
    const value = (foreseen.mean[one] as number) - (foreseen.mean[other] as number);
    mean += weight * value;
    square += weight * value * value;
    const own = (r: number, c: number): number => foreseen.covariance[r * m + c] as number;
    within += weight * (own(one, one) + own(other, other) - 2 * own(one, other));
  }
  return within > 0 ? (square - mean * mean) / within : 0;
}

const MOST_SCORED = 3;

/** What several readings leave: the best, and others that tell something else. */
function batches(
  known: readonly Foreseeing[],
  order: readonly Single[],
): { count: number; after: Narrowed }[] {
  const some = unlike(
    known,
    order.map(({ n }) => n),
  );
  return AHEAD.filter((count) => count <= some.length).map((count) => {
    return { count, after: afterSeveral(known, some.slice(0, count), fixedNoise()) };
  });
}

/** Readings that put the suspects in an order of their own, best first. */
function unlike(known: readonly Foreseeing[], order: readonly number[]): number[] {
  const means = (n: number): number[] => known.map(({ foreseen }) => foreseen.mean[n] as number);
  const kept: { n: number; values: number[] }[] = [];
  for (const n of order) {
    const values = means(n);
    if (kept.every((one) => Math.abs(correlation(known, one.values, values)) < MOST_ALIKE)) {
      kept.push({ n, values });
    }
  }
  return kept.map(({ n }) => n);
}

const MOST_ALIKE = 0.97;

function correlation(
  known: readonly Foreseeing[],
  x: readonly number[],
  y: readonly number[],
): number {
  const mean = (values: readonly number[]): number =>
    known.reduce((sum, { weight }, k) => sum + weight * (values[k] as number), 0);
  const [mx, my] = [mean(x), mean(y)];
  let [xx, xy, yy] = [0, 0, 0];
  known.forEach(({ weight }, k) => {
    const [u, v] = [(x[k] as number) - mx, (y[k] as number) - my];
    xx += weight * u * u;
    xy += weight * u * v;
    yy += weight * v * v;
  });
  return xx * yy > 0 ? xy / Math.sqrt(xx * yy) : 1;
}

function isTaken(group: GroupFit, probe: Probe, { evidence }: Analysis): boolean {
  const ends = (red: number, black: number): string => [red, black].sort((x, y) => x - y).join('-');
  const own = ends(probe.red.pin ?? -1, probe.black.pin ?? -1);
  const mine = injectionKey(probe.injected);
  const now = stateKey(evidence.state);
  return group.group.readings.some(
    (reading: CopperReading) =>
      stateKey(reading.state) === now &&
      ends(reading.sense.red, reading.sense.black) === own &&
      (reading.drive === reading.sense) === (mine === ''),
  );
}

function injectionKey(injection: Injection | undefined): string {
  return injection === undefined ? '' : `${injection.red.net} ${injection.black.net}`;
}

/** Draws that are the same every time: what is advised depends on the readings alone. */
function fixedNoise(): () => number {
  let state = 0x2545f491;
  const uniform = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 0.5) / 2 ** 32;
  };
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}
