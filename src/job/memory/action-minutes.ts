/** How long each kind of bench work took in one job, as sums of logarithms. */
import type { Board } from '../../board/model.ts';
import { AS_FOUND, type BoardState } from '../../circuit/state.ts';
import { mountOf } from '../../steps/bench-times.ts';
import type { DerivedJob } from '../derive.ts';
import type { RawJob } from '../read-record.ts';
import type { Say } from '../say.ts';
import { stateAfter } from '../state-after.ts';

/** By action, named as the path in the bench times: `reading continuity`, `remove tab`, `look`. */
export type ActionMinutes = Readonly<Record<string, MinutesSum>>;

/** How many were timed, the sum of ln(minutes), and of its square. */
export type MinutesSum = readonly [count: number, sum: number, squares: number];

/** Below this two entries were typed at once, or by a program: nobody worked so fast, min. */
const LEAST_MINUTES = 0.05;

/** One piece of work that was timed. */
interface Timed {
  readonly action: string;
  readonly minutes: number;
  /** Who did it; undefined where the record does not say. */
  readonly by: string | undefined;
}

/** Of all work of a job. */
export function actionMinutes(
  board: Board,
  raw: RawJob,
  job: DerivedJob,
  awayAfter: number,
): ActionMinutes {
  return summed(timedWork(board, raw, job, awayAfter));
}

/** By who did the work, as the record names them. */
export function handMinutes(
  board: Board,
  raw: RawJob,
  job: DerivedJob,
  awayAfter: number,
): Record<string, ActionMinutes> {
  const all = timedWork(board, raw, job, awayAfter);
  const names = [...new Set(all.flatMap(({ by }) => by ?? []))].sort();
  return Object.fromEntries(
    names.map((name) => [name, summed(all.filter(({ by }) => by === name))]),
  );
}

/**
 * The stretch up to an entry is what it took, as in `timeSpent`. Left out: what took several kinds of
 * work at once, what came after a break, and what was taken back later.
 */
function timedWork(board: Board, raw: RawJob, job: DerivedJob, awayAfter: number): Timed[] {
  const stretches = stretchesOf(raw);
  let state = AS_FOUND;
  let by: string | undefined;
  return job.active.flatMap(({ event, say }) => {
    if (say.do === 'technician') by = say.text;
    const done = actionOf(board, say, state);
    state = stateAfter(board, state, say);
    const stretch = stretches.get(event.n) ?? 0;
    if (done === undefined || stretch > awayAfter) return [];
    const minutes = stretch / done.count;
    return minutes < LEAST_MINUTES ? [] : [{ action: done.action, minutes, by }];
  });
}

function summed(work: readonly Timed[]): ActionMinutes {
  const sums = new Map<string, MinutesSum>();
  for (const { action, minutes } of work) {
    const log = Math.log(minutes);
    const [count, sum, squares] = sums.get(action) ?? [0, 0, 0];
    sums.set(action, [count + 1, sum + log, squares + log * log]);
  }
  const short = (value: number): number => Number(value.toFixed(4));
  return Object.fromEntries(
    [...sums].map(([action, [count, ...rest]]) => [
      action,
      [count, ...rest.map(short)] as unknown as MinutesSum,
    ]),
  );
}

/** By event: minutes since the one before. */
function stretchesOf({ openedAt, events }: RawJob): Map<number, number> {
  const found = new Map<number, number>();
  let before = Date.parse(openedAt);
  for (const { n, at } of events) {
    const now = Date.parse(at);
    found.set(n, Math.max(0, (now - before) / 60_000) || 0);
    before = now;
  }
  return found;
}

/** The one kind of work that a line tells of, and how many times it was done. */
function actionOf(
  board: Board,
  say: Say,
  state: BoardState,
): { readonly action: string; readonly count: number } | undefined {
  switch (say.do) {
    case 'read': {
      const { mode, offPart } = say.reading;
      return { action: offPart === undefined ? `reading ${mode}` : 'legReading', count: 1 };
    }
    case 'look':
      return { action: 'look', count: 1 };
    case 'reflow':
      return { action: 'reflowJoint', count: say.pins.length };
    case 'lift':
      return say.pins.length === 1
        ? { action: isLink(board, say.part) ? 'liftLink' : 'liftLeg', count: 1 }
        : undefined;
    case 'remove':
      return sameMount(board, say.parts, 'remove', (part) => isPlain(board, state, part));
    case 'refit': {
      const raised = say.parts.filter((part) => !state.off.has(part));
      if (raised.length === 0) return sameMount(board, say.parts, 'fit', () => true);
      const [only] = raised;
      if (say.parts.length > 1 || only === undefined) return undefined;
      return { action: isLink(board, only) ? 'refitLink' : 'refitLeg', count: 1 };
    }
    case 'replace':
      return sameMount(board, say.parts, 'fit', (part) => state.off.has(part));
    default:
      return undefined;
  }
}

/** In place with all its legs, and on no heatsink: opening one is another piece of work. */
function isPlain({ parts }: Board, { off, lifted }: BoardState, part: number): boolean {
  const { pins = [], heatsink } = parts[part] ?? {};
  return heatsink === undefined && !off.has(part) && pins.every((pin) => !lifted.has(pin));
}

function sameMount(
  { parts }: Board,
  numbers: readonly number[],
  work: 'remove' | 'fit',
  counts: (part: number) => boolean,
): { readonly action: string; readonly count: number } | undefined {
  const found = numbers.flatMap((number) => parts[number] ?? []);
  const mounts = new Set(found.map(mountOf));
  const [mount] = mounts;
  // What each lead beyond three adds would have to be told apart.
  if (mounts.size !== 1 || mount === 'many leads' || !numbers.every(counts)) return undefined;
  return { action: `${work} ${mount}`, count: numbers.length };
}

function isLink({ parts }: Board, part: number): boolean {
  return parts[part]?.kind.link === true;
}
