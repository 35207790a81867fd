/** Bench times as they really are: a log-normal for each kind of work, shrunk to what the shop's settings say. */
import type { BenchTimes } from '../../steps/bench-times.ts';
import type { ActionMinutes, MinutesSum } from './action-minutes.ts';

/** Learnt minutes by action; those that were never timed are left out. */
export type LearntMinutes = Readonly<Record<string, number>>;

/** The settings count as much as so many timings: of all work together, and of one kind of it. */
const PACE_STRENGTH = 20;
const ACTION_STRENGTH = 10;
/** Spread of ln(minutes) that a kind of work is taken to have before any was timed. */
const USUAL_SPREAD = 0.4;
/** No figure leaves its default by more than this, whatever clocks say. */
const MOST_RATIO = 10;

export interface TimedJob {
  readonly minutes: ActionMinutes;
  /** What it counts for. */
  readonly weight: number;
}

/** Adds up timings of several jobs. */
export function addMinutes(jobs: readonly TimedJob[]): Map<string, MinutesSum> {
  const sums = new Map<string, MinutesSum>();
  for (const { minutes, weight } of jobs) {
    for (const [action, sum] of Object.entries(minutes)) add(sums, action, sum, weight);
  }
  return sums;
}

/** Adds up sums. */
export function addSums(all: readonly ReadonlyMap<string, MinutesSum>[]): Map<string, MinutesSum> {
  const sums = new Map<string, MinutesSum>();
  for (const each of all) for (const [action, sum] of each) add(sums, action, sum, 1);
  return sums;
}

function add(
  sums: Map<string, MinutesSum>,
  action: string,
  [count, sum, squares]: MinutesSum,
  weight: number,
): void {
  const held = sums.get(action) ?? [0, 0, 0];
  sums.set(action, [held[0] + weight * count, held[1] + weight * sum, held[2] + weight * squares]);
}

/**
 * Mean minutes of each kind of work that was timed: first how fast the shop is on the whole, then, from
 * there, each kind of work by itself.
 */
export function learnMinutes(
  timings: ReadonlyMap<string, MinutesSum>,
  times: BenchTimes,
): LearntMinutes {
  const known = [...timings].flatMap(([action, [count, sum, squares]]) => {
    const usual = minutesAt(times, action);
    if (usual === undefined || !(count > 0)) return [];
    // The default is a mean; the middle of a log-normal lies below it by half its spread squared.
    const middle = Math.log(usual) - USUAL_SPREAD ** 2 / 2;
    return [{ action, usual, count, off: sum - count * middle, middle, sum, squares }];
  });
  const count = known.reduce((total, one) => total + one.count, 0);
  const off = known.reduce((total, one) => total + one.off, 0);
  const pace = off / (PACE_STRENGTH + count);
  return Object.fromEntries(
    known.map((one) => {
      const mean = (ACTION_STRENGTH * pace + one.off) / (ACTION_STRENGTH + one.count);
      const own = Math.max(0, one.squares - one.sum ** 2 / one.count);
      const variance = (ACTION_STRENGTH * USUAL_SPREAD ** 2 + own) / (ACTION_STRENGTH + one.count);
      const minutes = Math.exp(one.middle + mean + variance / 2);
      const held = Math.min(Math.max(minutes, one.usual / MOST_RATIO), one.usual * MOST_RATIO);
      return [one.action, Number(held.toPrecision(3))];
    }),
  );
}

/** The bench times with what was learnt in place of the settings. */
export function withLearntMinutes(times: BenchTimes, learnt: LearntMinutes): BenchTimes {
  const made = {
    ...times,
    reading: { ...times.reading },
    remove: { ...times.remove },
    fit: { ...times.fit },
  };
  for (const [action, minutes] of Object.entries(learnt)) {
    if (minutesAt(times, action) === undefined || !(minutes > 0)) continue;
    const [group = '', ...rest] = action.split(' ');
    const name = rest.join(' ');
    if (name === '') Object.assign(made, { [group]: minutes });
    else Object.assign(made[group as 'reading'], { [name]: minutes });
  }
  return made;
}

/** Minutes at an action's path; undefined where there is none. */
export function minutesAt(times: BenchTimes, action: string): number | undefined {
  const [group = '', ...rest] = action.split(' ');
  const held: unknown = Object.hasOwn(times, group) ? times[group as keyof BenchTimes] : undefined;
  if (typeof held === 'number') return rest.length === 0 ? held : undefined;
  if (typeof held !== 'object' || held === null) return undefined;
  const name = rest.join(' ');
  const value: unknown = Object.hasOwn(held, name)
    ? (held as Readonly<Record<string, unknown>>)[name]
    : undefined;
  return typeof value === 'number' ? value : undefined;
}
