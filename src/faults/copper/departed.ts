import type { CopperReading } from './copper-readings.ts';
import type { Short } from './short.ts';

/** Whether some of the shorts were in circuit when readings were taken, and not for all of these. */
export function haveParted(shorts: readonly Short[], readings: readonly CopperReading[]): boolean {
  if (shorts.length < 2) return false;
  return readings.some(({ state }) => {
    const acting = shorts.filter((short) => short.actsIn(state)).length;
    return acting > 0 && acting < shorts.length;
  });
}

/**
 * Every reading to one of the shorts in circuit then: the one that left first. What several of them make
 * together is not worked out; so what was read before a short came out says nothing of where the next
 * one is, and cannot mislead about it either.
 * @returns by short its own readings, and those that none was there for
 */
export function byWhoLeftFirst(
  shorts: readonly Short[],
  readings: readonly CopperReading[],
): { shares: { short: Short; own: CopperReading[] }[]; rest: CopperReading[] } {
  const order = shorts
    .map((short) => ({
      short,
      count: readings.filter(({ state }) => short.actsIn(state)).length,
      own: [] as CopperReading[],
    }))
    .sort((x, y) => x.count - y.count);
  const rest: CopperReading[] = [];
  for (const reading of readings) {
    const first = order.find(({ short }) => short.actsIn(reading.state));
    (first?.own ?? rest).push(reading);
  }
  return { shares: order, rest };
}
