/**
 * The soak of a job: how long it has run, what was observed and when, what is due. All of it follows
 * from the record and a clock. It counts the time on the wall since its start, whether the program runs
 * or not; stretches in which nobody observed anything are told.
 */
import type { DerivedJob } from './derive.ts';

/** `time is up`: it has run its time, but is not passed yet. `void`: the board was changed since. */
export type SoakStage = 'not started' | 'running' | 'time is up' | 'passed' | 'stopped' | 'void';

export interface SoakState {
  readonly state: SoakStage;
  /** Event of the start; the other fields are empty or 0 before it. */
  readonly event?: number;
  readonly startedAt?: string;
  /** Seconds it is to run, has run, and has left; never below 0. */
  readonly seconds: number;
  readonly elapsed: number;
  readonly left: number;
  /** In the order they were recorded. */
  readonly observations: readonly Observation[];
  readonly findings: readonly { readonly event: number; readonly text: string }[];
  /** Seconds between observations that are asked for. */
  readonly every: number;
  /** Seconds until the next one is due; below 0 when it is overdue. Undefined when none is. */
  readonly dueIn?: number;
  /** Stretches without an observation that were longer than twice the interval. */
  readonly gaps: readonly Gap[];
  /** What is missing before it may be passed; empty when nothing is. */
  readonly needs: readonly string[];
  /** The event that ended it, and its words. */
  readonly endEvent?: number;
  readonly text?: string;
  /** True when it was passed before its time, or with something still missing. */
  readonly isShort: boolean;
}

/** Something observed under power: a temperature, a voltage, a current. */
export interface Observation {
  readonly event: number;
  /** Seconds since the start. */
  readonly after: number;
  readonly what: 'temperature' | 'voltage' | 'current' | 'finding' | 'function';
}

/** Seconds since the start. */
export interface Gap {
  readonly from: number;
  readonly to: number;
}

/** What a shop asks for when it has said nothing, s between observations. */
const USUAL_EVERY = 15 * 60;
/** A short soak is looked at so often at least, and not more often than every so many s. */
const LEAST_OBSERVATIONS = 4;
const OFTENEST = 2 * 60;

/** Seconds between two observations of a soak so long: the shop's, more often in a short one. */
export function observeEvery(seconds: number, usual: number = USUAL_EVERY): number {
  return Math.min(usual, Math.max(OFTENEST, Math.round(seconds / LEAST_OBSERVATIONS)));
}

const NOT_STARTED: SoakState = {
  state: 'not started',
  seconds: 0,
  elapsed: 0,
  left: 0,
  observations: [],
  findings: [],
  every: 0,
  gaps: [],
  needs: [],
  isShort: false,
};

/**
 * The soak that was started last.
 * @param nowMs the clock, as `Date.now()`
 * @param usualEvery seconds between observations that the shop asks for
 */
export function soakState(
  job: DerivedJob,
  nowMs: number,
  usualEvery: number = USUAL_EVERY,
): SoakState {
  const start = job.soak.findLast(({ what }) => what === 'start');
  if (start?.what !== 'start') return NOT_STARTED;
  const startMs = Date.parse(start.at);
  const end = job.soak.find(
    ({ event, what }) => event > start.event && (what === 'passed' || what === 'stopped'),
  );
  const endMs = end === undefined ? nowMs : Date.parse(end.at);
  const { seconds } = start;
  const elapsed = Math.max(0, (endMs - startMs) / 1000) || 0;
  const last = end?.event ?? Number.POSITIVE_INFINITY;
  const observations = observed(job, start.event, last, startMs);
  const every = observeEvery(seconds, usualEvery);
  const needs = needsOf(observations, elapsed, seconds, every);
  const seen = [0, ...observations.map(({ after }) => after)];
  const state = stateOf(job, start.event, end, elapsed >= seconds);
  const isOn = state === 'running' || state === 'time is up';
  const text = end !== undefined && 'text' in end ? end.text : undefined;
  return {
    state,
    event: start.event,
    startedAt: start.at,
    seconds,
    elapsed,
    left: Math.max(0, seconds - elapsed),
    observations,
    findings: job.soak.flatMap((each) =>
      each.what === 'finding' && each.event > start.event && each.event <= last
        ? [{ event: each.event, text: each.text }]
        : [],
    ),
    every,
    ...(isOn ? { dueIn: Math.max(...seen) + every - elapsed } : {}),
    gaps: gapsOf(seen, Math.min(elapsed, Math.max(seconds, ...seen)), 2 * every),
    needs: state === 'passed' || state === 'stopped' ? [] : needs,
    ...(end === undefined ? {} : { endEvent: end.event }),
    ...(text === undefined ? {} : { text }),
    isShort: state === 'passed' && needs.length > 0,
  };
}

function stateOf(
  job: DerivedJob,
  start: number,
  end: DerivedJob['soak'][number] | undefined,
  isUp: boolean,
): SoakStage {
  if (end?.what === 'stopped') return 'stopped';
  if (job.evidence.lastChange > start) return 'void';
  if (end?.what === 'passed') return 'passed';
  return isUp ? 'time is up' : 'running';
}

function observed(job: DerivedJob, after: number, before: number, startMs: number): Observation[] {
  const of = (
    what: Observation['what'],
    list: readonly { readonly event: number; readonly at: string }[],
  ): Observation[] =>
    list
      .filter(({ event }) => event > after && event < before)
      .map(({ event, at }) => ({
        event,
        what,
        after: Math.max(0, (Date.parse(at) - startMs) / 1000) || 0,
      }));
  return [
    ...of('temperature', job.temps),
    ...of('voltage', job.powered),
    ...of('current', job.draws),
    ...of('function', job.functions),
    ...of(
      'finding',
      job.soak.filter(({ what }) => what === 'finding'),
    ),
  ].sort((a, b) => a.event - b.event);
}

function needsOf(
  observations: readonly Observation[],
  elapsed: number,
  seconds: number,
  every: number,
): string[] {
  const due = Math.max(1, Math.floor(seconds / every) - 1);
  const slots = new Set(observations.map(({ after }) => Math.floor(after / every)));
  const lacks = (what: Observation['what']): boolean =>
    !observations.some((each) => each.what === what);
  const lastAfter = Math.max(0, ...observations.map(({ after }) => after));
  return [
    ...(elapsed < seconds ? ['the rest of its time'] : []),
    ...(slots.size * 2 < due
      ? [`observations at ${Math.ceil(due / 2)} times, so far at ${slots.size}`]
      : []),
    ...(lacks('temperature') ? ['a temperature'] : []),
    ...(lacks('voltage') ? ['a voltage of a rail'] : []),
    ...(lastAfter < seconds - every ? ['an observation towards its end'] : []),
  ];
}

function gapsOf(seen: readonly number[], until: number, longest: number): Gap[] {
  const times = [...seen, until].sort((a, b) => a - b);
  return times.slice(1).flatMap((to, k) => {
    const from = times[k] ?? 0;
    return to - from > longest ? [{ from, to }] : [];
  });
}
