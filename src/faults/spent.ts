import { isAcrossBoard } from '../circuit/reading.ts';
import type { BoardState } from '../circuit/state.ts';
import type { Evidence, TakenReading } from './evidence.ts';

/**
 * Readings that still speak of the board. A joined reading is spent once something that was in
 * circuit when it was taken has been renewed, and the same pair was read again without the old
 * piece: what the old reading had to say about the rest, the new one says better. Readings that
 * found no path stay, since they still clear what they were read across. Without this, every past
 * repair would go on multiplying the ways to explain the past.
 *
 * Where other joined readings with the old piece in stay, the last of those spent stays with them:
 * taken with the fewest other suspects in circuit, it says whose doing they were.
 */
export function livingReadings(evidence: Evidence): TakenReading[] {
  const { readings, state } = evidence;
  const renewed = renewals(state);
  if (renewed.length === 0) return [...readings];
  const joined = readings.filter((reading) => isAcrossBoard(reading) && isJoined(reading));
  const spent = new Set(joined.filter((reading) => isSpent(reading, readings, renewed)));
  for (const renewal of renewed) {
    const own = joined.filter(({ state: then }) => renewal.oldIn(then));
    const last = own.at(-1);
    if (last !== undefined && own.some((reading) => !spent.has(reading))) spent.delete(last);
  }
  return readings.filter((reading) => !spent.has(reading));
}

/** The same pair was read again without something renewed since that was in circuit the first time. */
function isSpent(
  reading: TakenReading,
  readings: readonly TakenReading[],
  renewed: readonly Renewal[],
): boolean {
  const gone = renewed.filter((renewal) => renewal.oldIn(reading.state));
  return readings.some(
    (later) =>
      later.id > reading.id &&
      samePair(later, reading) &&
      gone.some((renewal) => !renewal.oldIn(later.state)),
  );
}

function isJoined({ value }: TakenReading): boolean {
  return value.kind === 'beep' || (value.kind === 'ohms' && value.ohms < JOINED_OHMS);
}

/** Below this an ohms reading tells of a path, not of its absence. */
const JOINED_OHMS = 1000;

function samePair(x: TakenReading, y: TakenReading): boolean {
  if (!isAcrossBoard(x) || !isAcrossBoard(y)) return false;
  const [a, b] = [x.red.net, x.black.net];
  return (y.red.net === a && y.black.net === b) || (y.red.net === b && y.black.net === a);
}

/** Something put right since the board came in. */
interface Renewal {
  /** The old piece was in circuit. */
  oldIn(state: BoardState): boolean;
}

function renewals(now: BoardState): Renewal[] {
  const parts = [...now.piece].map(
    ([part, piece]): Renewal => ({
      oldIn: (state) => !state.off.has(part) && (state.piece.get(part) ?? 0) < piece,
    }),
  );
  const counted = <K>(of: (state: BoardState) => ReadonlyMap<K, number>): Renewal[] =>
    [...of(now)].map(([key, count]) => ({ oldIn: (state) => (of(state).get(key) ?? 0) < count }));
  return [
    ...parts,
    ...counted((state) => state.reflowed),
    ...counted((state) => state.cleaned),
    ...counted((state) => state.mended),
  ];
}
