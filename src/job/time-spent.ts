/** What a job took at the bench, from the times of its events. */

/** Longer than this without an entry counts as time away from the bench, min. */
export const AWAY_MINUTES = 30;

/** One entry with its time; events of a record fit. */
export interface TimedEntry {
  readonly n: number;
  /** ISO time. */
  readonly at: string;
}

/** Minutes at the bench, and what was left out. */
export interface TimeSpent {
  /** Sum of the stretches between entries that are not longer than the time away. */
  readonly minutes: number;
  /** The same by stage, in the order they were first worked on; empty where no stage is told. */
  readonly byStage: ReadonlyMap<string, number>;
  /** Stretches left out as time away: how many, and their minutes together. */
  readonly breaks: number;
  readonly awayMinutes: number;
  /** From the opening to the last entry, by the calendar. */
  readonly wholeMinutes: number;
}

export interface TimeSpentOptions {
  /** Stretches longer than this are left out; default {@link AWAY_MINUTES}. */
  readonly awayAfter?: number;
  /** Stage that an entry belongs to. */
  readonly stageOf?: (n: number) => string | undefined;
  /** Whether the stretch up to an entry counts however long it is: a soak ran meanwhile. */
  readonly countsWhole?: (n: number) => boolean;
}

/**
 * Adds up the stretches from entry to entry. Each belongs to the entry it ends with, which is what
 * was worked at; one longer than the time away is left out whole. Entries taken back count: the
 * time was spent. A clock that was set back takes nothing away.
 * @param openedAt ISO time of the opening
 * @param entries in the order they were recorded
 */
export function timeSpent(
  openedAt: string,
  entries: readonly TimedEntry[],
  options: TimeSpentOptions = {},
): TimeSpent {
  const {
    awayAfter = AWAY_MINUTES,
    stageOf = () => undefined,
    countsWhole = () => false,
  } = options;
  const byStage = new Map<string, number>();
  let minutes = 0;
  let breaks = 0;
  let awayMinutes = 0;
  let before = Date.parse(openedAt);
  for (const { n, at } of entries) {
    const now = Date.parse(at);
    const stretch = Math.max(0, (now - before) / 60_000) || 0;
    before = now;
    if (stretch > awayAfter && !countsWhole(n)) {
      breaks += 1;
      awayMinutes += stretch;
      continue;
    }
    minutes += stretch;
    const stage = stageOf(n);
    if (stage !== undefined) byStage.set(stage, (byStage.get(stage) ?? 0) + stretch);
  }
  return { minutes, byStage, breaks, awayMinutes, wholeMinutes: minutes + awayMinutes };
}
