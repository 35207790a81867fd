/**
 * The recheck: the same readings as before, after removal and again after fitting, and each part
 * taken off or replaced by itself. Nothing may be skipped and nothing new may appear.
 */
import type { Board, Part } from '../board/model.ts';
import { isAcrossBoard, type Probe } from '../circuit/reading.ts';
import type { TakenReading } from '../faults/evidence.ts';
import { type Healthy, padPairs, proofOf } from '../steps/proof.ts';
import { allReadings } from './all-readings.ts';
import { conducts, USUAL_TOLERANCE } from './compare-values.ts';
import type { DerivedJob } from './derive.ts';
import {
  type PairColumns,
  pairColumns,
  pairKeyOf,
  phaseOf,
  type RecheckPhase,
  type Seen,
} from './recheck-columns.ts';

export type { RecheckPhase, Seen } from './recheck-columns.ts';

/** What became of a pair, worst first. */
export const RECHECK_CHANGES = [
  'newly short',
  'still short',
  'not read again',
  'unlike healthy',
  'cleared',
  'put right',
  'as before',
  'first read',
] as const;
export type RecheckChange = (typeof RECHECK_CHANGES)[number];

export interface RecheckPair extends PairColumns {
  /** Where to put the probes, and the mode in which a short would stand out. */
  readonly probe: Probe;
  readonly change: RecheckChange;
  /** Number of the rail it is across, and of the parts on whose pads it is. */
  readonly rail?: number;
  readonly parts: readonly number[];
}

/** What was done with a part in the end. */
export type PartFate = 'replaced' | 'off the board' | 'put back';

/** A part that was off the board or is a new piece, by itself. */
export interface RecheckPart {
  readonly part: number;
  readonly fate: PartFate;
  /** Event of that. */
  readonly since: number;
  /** Readings on its own legs; of the piece that came off, and of the one now in its place. */
  readonly own: readonly OwnReading[];
  /** Keys of the pairs of its pads across which its kind fails short, and of the test which way round it sits. */
  readonly pads: readonly string[];
}

export interface OwnReading {
  readonly reading: TakenReading;
  /** True when it was of the piece that was later replaced. */
  readonly ofOldPiece: boolean;
  /** Unlike a healthy part of its kind: it conducts, or does not, where it should not. */
  readonly fault?: 'short' | 'open';
}

export interface Recheck {
  readonly phase: RecheckPhase;
  readonly pairs: readonly RecheckPair[];
  readonly parts: readonly RecheckPart[];
  /** True when anything is short, not read again, or unlike a healthy board. */
  readonly differs: boolean;
}

/** What a board without faults shows, from its pads and part by part. */
export interface HealthyParts extends Healthy {
  /** Ω between two pins of a part on its own legs. */
  legOhms(part: number, a: number, b: number): number;
}

const DIFFERENT: readonly RecheckChange[] = RECHECK_CHANGES.slice(0, 4);

/** Compares every pair read in a job with itself, and lists what is still to be read. */
export function recheck(board: Board, job: DerivedJob, healthy: HealthyParts): Recheck {
  const phase = phaseOf(job);
  const parts = handledParts(board, job, healthy);
  const changes = { last: job.evidence.lastChange, lastFit: lastFitOf(job) };
  const rails = new Map(
    board.rails.map(({ plus, minus }, index): [string, number] => [keyOfNets(plus, minus), index]),
  );
  const pairs = [
    ...pairColumns(board, job, healthy),
    ...unreadPairs(board, job, healthy, phase),
  ].map((columns): RecheckPair => {
    const rail = rails.get(columns.key);
    return {
      ...columns,
      probe: probeOf(columns, healthy),
      change: changeOf(columns, phase, changes),
      ...(rail === undefined ? {} : { rail }),
      parts: parts.filter(({ pads }) => pads.includes(columns.key)).map(({ part }) => part),
    };
  });
  return { phase, pairs, parts, differs: pairs.some(({ change }) => DIFFERENT.includes(change)) };
}

type Unread = PairColumns & { readonly wanted: Probe };

/** Pairs that must be read after the last change and never were: rails, pads of replaced parts. */
function unreadPairs(
  board: Board,
  job: DerivedJob,
  healthy: Healthy,
  phase: RecheckPhase,
): Unread[] {
  if (phase !== 'put back') return [];
  // A part read on the bench says nothing of its pads.
  const fromPads = allReadings(board, job).filter(isAcrossBoard);
  const read = new Set(fromPads.map((reading) => pairKeyOf(reading)));
  const wanted = proofOf(board, job.evidence, healthy).flatMap(({ missing }) => missing);
  const byKey = new Map(wanted.map((probe): [string, Probe] => [pairKeyOf(probe), probe]));
  return [...byKey]
    .filter(([key]) => !read.has(key))
    .map(([key, probe]) => ({ key, wanted: probe }));
}

function probeOf(columns: PairColumns | Unread, healthy: Healthy): Probe {
  if ('wanted' in columns) return columns.wanted;
  const reading = columns.asFound?.reading ?? columns.last;
  if (reading === undefined) throw new Error('a pair that was neither read nor asked for');
  const { red, black, mode } = reading;
  const isBeeper = mode === 'continuity' && red.net !== black.net;
  return { red, black, mode: isBeeper ? healthy.modeFor(red.net, black.net) : mode };
}

/** Events of the last change of any sort, and of the last that put something on the board. */
interface Changes {
  readonly last: number;
  readonly lastFit: number;
}

function changeOf(columns: PairColumns, phase: RecheckPhase, changes: Changes): RecheckChange {
  const { asFound: before, partsOff, putBack } = columns;
  if (phase === 'untouched') return before?.verdict === 'short' ? 'still short' : 'as before';
  const now = phase === 'put back' ? putBack : sinceRemoval(partsOff, changes);
  if (now === undefined || now.verdict === 'untold') return 'not read again';
  if (now.verdict === 'short') return before?.verdict === 'short' ? 'still short' : 'newly short';
  // With parts off, a way that a healthy board has may be missing with them.
  if (now.verdict === 'unlike healthy' && phase === 'put back') return 'unlike healthy';
  if (before === undefined) return 'first read';
  if (before.verdict === 'short') return 'cleared';
  return before.verdict === 'unlike healthy' && phase === 'put back' ? 'put right' : 'as before';
}

/**
 * Taking off more parts makes no short, but a short seen before the last one may be gone; and what was
 * put on the board since a reading may have brought one.
 */
function sinceRemoval(seen: Seen | undefined, changes: Changes): Seen | undefined {
  if (seen === undefined) return undefined;
  const least = seen.verdict === 'short' ? changes.last : changes.lastFit;
  return seen.reading.id > least ? seen : undefined;
}

function lastFitOf(job: DerivedJob): number {
  const fits = job.active.filter(({ say }) => say.do === 'replace' || say.do === 'refit');
  return fits.at(-1)?.event.n ?? 0;
}

function handledParts(board: Board, job: DerivedJob, healthy: HealthyParts): RecheckPart[] {
  const fates = new Map<number, Pick<RecheckPart, 'fate' | 'since'>>();
  for (const { event, say } of job.active) {
    if (say.do === 'remove') setAll(fates, say.parts, { fate: 'off the board', since: event.n });
    if (say.do === 'replace') setAll(fates, say.parts, { fate: 'replaced', since: event.n });
    if (say.do !== 'refit') continue;
    const back = say.parts.filter((part) => fates.get(part)?.fate === 'off the board');
    setAll(fates, back, { fate: 'put back', since: event.n });
  }
  return [...fates].flatMap(([part, { fate, since }]) => {
    const known = board.parts[part];
    if (known === undefined) return [];
    return [
      {
        part,
        fate,
        since,
        own: ownReadings(board, job, part, healthy),
        pads: padsOf(board, known, healthy),
      },
    ];
  });
}

function setAll<V>(map: Map<number, V>, keys: readonly number[], value: V): void {
  for (const key of keys) map.set(key, value);
}

function ownReadings(
  board: Board,
  job: DerivedJob,
  part: number,
  healthy: HealthyParts,
): OwnReading[] {
  const pieces = job.evidence.state.piece.get(part) ?? 0;
  return allReadings(board, job)
    .filter(({ offPart }) => offPart === part)
    .map((reading) => {
      const fault = faultOnLegs(reading, part, healthy);
      const ofOldPiece = (reading.state.piece.get(part) ?? 0) < pieces;
      return { reading, ofOldPiece, ...(fault === undefined ? {} : { fault }) };
    });
}

/** A healthy way of more ohms than this may read over range on a meter. */
const SURE_OHMS = 1e6;

function faultOnLegs(
  reading: TakenReading,
  part: number,
  healthy: HealthyParts,
): OwnReading['fault'] {
  const { red, black, value, mode } = reading;
  const ohms = healthy.legOhms(part, red.pin ?? -1, black.pin ?? -1);
  const { shortOhms } = USUAL_TOLERANCE;
  if (conducts(reading, USUAL_TOLERANCE)) return ohms > shortOhms ? 'short' : undefined;
  const isHigh = value.kind === 'quiet' || value.kind === 'over';
  return isHigh && ohms < (mode === 'continuity' ? shortOhms / 2 : SURE_OHMS) ? 'open' : undefined;
}

function padsOf(board: Board, part: Part, healthy: Healthy): string[] {
  const turn = healthy.turnTest(part.index);
  const pairs = padPairs(board, part).map(([a, b]) => keyOfNets(a, b));
  return turn === undefined ? pairs : [...pairs, pairKeyOf(turn)];
}

function keyOfNets(a: number, b: number): string {
  return pairKeyOf({ mode: 'ohms', red: { net: a }, black: { net: b } });
}
