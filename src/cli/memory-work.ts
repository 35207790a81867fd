import type { Board } from '../board/model.ts';
import { deriveJob, extendJob } from '../job/derive.ts';
import type { JobPurpose } from '../job/event-line.ts';
import { boardAsPlaced } from './engine.ts';
import { admitAll } from './jobs.ts';
import type { RecordedLine, Work } from './work.ts';

/**
 * A job that lives in memory alone, numbered as one in a file would be and held to the same rules.
 * @param now for the times of its events
 */
export function memoryWork(
  board: Board,
  label: string,
  purpose: JobPurpose,
  now: () => Date = () => new Date(),
): Work {
  let derived = deriveJob(board, []);
  return {
    get board() {
      return boardAsPlaced(board, derived);
    },
    label,
    purpose,
    get derived() {
      return derived;
    },
    record(lines) {
      const recorded: RecordedLine[] = [];
      for (const say of admitAll(board, derived, purpose, lines)) {
        const n = derived.history.events.length + 2;
        derived = extendJob(board, derived, { n, at: now().toISOString(), say, line: n });
        recorded.push({ n, say });
      }
      return recorded;
    },
    close() {},
  };
}
