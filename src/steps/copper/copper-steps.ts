import type { Injection, Probe } from '../../circuit/reading.ts';
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
import { afterOne, afterSeveral, type Foreseeing, narrowed } from './narrowing.ts';
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
  return found.length > 0 ? found : surveyStart(analysis, foresight, injection);
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
  const fresh = copperProbes(board, group.group.copper, parts, injection).filter(
    (probe) => !isTaken(group, probe, analysis),
  );
  const further = fresh.map((probe, n) => foreseenReading(probe, -1 - n, evidence.state));
  if (further.length === 0) return [];
  const known = suspects.flatMap((suspect): Foreseeing[] => {
    const foreseen = group.foresee(suspect.short, further);
    if (foreseen === undefined) return [];
    const { minutes, undoMinutes, aheadMinutes } = foresight.candidates.takingOut([suspect.part]);
    return [{ ...suspect, foreseen, wasted: minutes + undoMinutes, ahead: aheadMinutes }];
  });
  if (known.length < 2) return [];
  const now = narrowed(
    known,
    known.map((one) => one.weight),
  );
  if (now.minutes <= 0) return [];
  // The rest of the reasoning looks at these parts among others: what is saved here is saved of the whole.
  const scale = (minutes: number): number =>
    foresight.plainMinutes - weight * (now.minutes - minutes);
  const all = fresh
    .map((probe, n) => ({ probe, n, after: afterOne(known, n), minutes: clock.read(probe) }))
    .sort((x, y) => x.after.doubt - y.after.doubt);
  const telling = all.filter(({ after }) => now.doubt - after.doubt > LEAST_GAIN);
  // Behind a bead or a shunt not read across yet no reading tells anything by itself, and several may.
  const singles = telling.length > 0 ? telling : all;
  const [first] = singles;
  const several = batches(known, singles);
  if (first === undefined || (telling.length === 0 && !isShorter(several, now.minutes))) return [];
  const ahead = several.map(({ count, minutes }) => count * first.minutes + scale(minutes));
  return singles.slice(0, MOST_SCORED).map(({ probe, n, after, minutes }, place) => {
    const alone = minutes + scale(after.minutes);
    // Others of much the same use lead to as much; only the best is worth working out.
    const whole = place === 0 ? Math.min(alone, ...ahead) : Math.max(alone, ...ahead);
    return {
      candidate: foresight.candidates.reading(probe),
      outlook: copperOutlook(analysis, known, n, now.doubt - after.doubt, after.minutes),
      extraMinutes: minutes,
      whole,
    };
  });
}

const MOST_SCORED = 3;

/** Several readings that tell nothing one by one must leave less of the search than this. */
const MOST_LEFT_RATIO = 0.8;

function isShorter(several: readonly { readonly minutes: number }[], now: number): boolean {
  return several.some(({ minutes }) => minutes < MOST_LEFT_RATIO * now);
}

/** Minutes of search after several readings: the best, and others that tell something else. */
function batches(
  known: readonly Foreseeing[],
  singles: readonly { readonly n: number }[],
): { count: number; minutes: number }[] {
  const some = unlike(
    known,
    singles.map(({ n }) => n),
  );
  return AHEAD.filter((count) => count <= some.length).map((count) => {
    return { count, minutes: afterSeveral(known, some.slice(0, count), fixedNoise()).minutes };
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
  return group.group.readings.some(
    (reading: CopperReading) =>
      reading.state === evidence.state &&
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
