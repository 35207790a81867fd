import type { JobEvent } from '../../src/job/event-line.ts';

/** Events as a record would hold them, numbered from 2. */
export function events(...says: readonly string[]): JobEvent[] {
  return says.map((say, at) => ({ n: at + 2, at: '2026-11-24T10:00:00.000Z', say, line: at + 2 }));
}
