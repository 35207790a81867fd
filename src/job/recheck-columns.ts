/**
 * The readings of a job laid out by pair and by where the work stood: as the board was found, with
 * parts off it, and since everything was put back.
 */
import type { Board } from '../board/model.ts';
import { isAcrossBoard, type Reading } from '../circuit/reading.ts';
import type { BoardState } from '../circuit/state.ts';
import type { TakenReading } from '../faults/evidence.ts';
import type { Healthy } from '../steps/proof.ts';
import { allReadings } from './all-readings.ts';
import { conducts, USUAL_TOLERANCE } from './compare-values.ts';
import type { DerivedJob } from './derive.ts';
import type { Say } from './say.ts';

/** Where the work stands: nothing taken off yet, something off the board, all back on it. */
export type RecheckPhase = 'untouched' | 'parts off' | 'put back';

/**
 * What one reading says beside a board without faults: `untold` is a beep where a healthy board beeps
 * as well, but ohms would tell a short; `unlike healthy` is neither a short nor what it should be.
 */
export type SeenVerdict = 'short' | 'clear' | 'untold' | 'unlike healthy';

/** The reading that counts for a pair in one column. */
export interface Seen {
  readonly reading: TakenReading;
  readonly verdict: SeenVerdict;
  /** Pins that were in the air, and parts that were off, when it was taken. */
  readonly lifted: readonly number[];
  readonly off: readonly number[];
  /** How often the pair was read in this column, and whether all of it agrees on a short. */
  readonly times: number;
  readonly alike: boolean;
}

/** One pair of points with what was read of it. */
export interface PairColumns {
  readonly key: string;
  /** The latest reading of all, whatever it counts for; none when the pair is only asked for. */
  readonly last?: TakenReading;
  readonly asFound?: Seen;
  readonly partsOff?: Seen;
  readonly putBack?: Seen;
}

/** A net pair is one pair whichever pads were touched; two pads of one net are a pair of their own. */
export function pairKeyOf({ mode, red, black }: Pick<Reading, 'mode' | 'red' | 'black'>): string {
  const isOneNet = red.net === black.net;
  const points = [red, black].map(({ net, pin }) => (isOneNet ? `pad ${pin ?? ''}` : `${net}`));
  // A junction differs by direction, a resistance does not.
  if (mode !== 'diode') points.sort();
  return [mode === 'diode' ? 'diode' : 'ohms', ...points].join(' ');
}

/** Where the work on a job stands. */
export function phaseOf(job: DerivedJob): RecheckPhase {
  if (firstRepair(job) === undefined) return 'untouched';
  const { off, lifted } = job.evidence.state;
  return off.size + lifted.size > 0 ? 'parts off' : 'put back';
}

/** By pair, in the order first read, what was read from the pads. */
export function pairColumns(board: Board, job: DerivedJob, healthy: Healthy): PairColumns[] {
  const start = firstRepair(job) ?? Number.POSITIVE_INFINITY;
  const { lastChange } = job.evidence;
  const byPair = new Map<string, TakenReading[]>();
  for (const reading of allReadings(board, job)) {
    if (!isAcrossBoard(reading)) continue;
    const key = pairKeyOf(reading);
    byPair.set(key, [...(byPair.get(key) ?? []), reading]);
  }
  return [...byPair].map(([key, readings]) => {
    const early = readings.filter(({ id }) => id < start);
    const whole = early.filter(({ state }) => !isApart(state));
    const later = readings.filter(({ id }) => id > start);
    const found = seen(whole.length > 0 ? whole : early, healthy);
    const apart = seen(
      later.filter(({ state }) => isApart(state)),
      healthy,
    );
    const back = seen(
      later.filter(({ id, state }) => id > lastChange && !isApart(state)),
      healthy,
    );
    return {
      key,
      last: readings[readings.length - 1] as TakenReading,
      ...(found === undefined ? {} : { asFound: found }),
      ...(apart === undefined ? {} : { partsOff: apart }),
      ...(back === undefined ? {} : { putBack: back }),
    };
  });
}

/** What a reading from the pads says, beside a board without faults. */
export function verdictOf(reading: Reading, healthy: Healthy): SeenVerdict {
  const isBeep = reading.value.kind === 'beep';
  if (isBeep && healthy.modeFor(reading.red.net, reading.black.net) === 'ohms') return 'untold';
  if (healthy.isClear(reading)) return 'clear';
  return conducts(reading, USUAL_TOLERANCE) ? 'short' : 'unlike healthy';
}

const REPAIRS: ReadonlySet<Say['do']> = new Set(['remove', 'replace', 'reflow', 'clean', 'mend']);

/** Number of the first event that was more than reading, looking and lifting. */
function firstRepair(job: DerivedJob): number | undefined {
  return job.active.find(({ say }) => REPAIRS.has(say.do))?.event.n;
}

function isApart({ off, lifted }: BoardState): boolean {
  return off.size + lifted.size > 0;
}

/** Of repeated readings the last counts. */
function seen(readings: readonly TakenReading[], healthy: Healthy): Seen | undefined {
  const reading = readings.at(-1);
  if (reading === undefined) return undefined;
  const same = readings.filter(({ state }) => state === reading.state);
  const isShort = (one: TakenReading): boolean => verdictOf(one, healthy) === 'short';
  return {
    reading,
    verdict: verdictOf(reading, healthy),
    lifted: [...reading.state.lifted],
    off: [...reading.state.off],
    times: same.length,
    alike: same.every((one) => isShort(one) === isShort(reading)),
  };
}
