import type { Board } from '../../board/model.ts';
import { admit, deriveJob, extendJob } from '../../job/derive.ts';
import { printSay } from '../../job/print-say.ts';
import { boardAsPlaced } from '../engine.ts';
import type { RecordedLine, Work } from '../work.ts';

/** A drill's record: kept in memory, numbered as a job's would be. */
export function drillWork(board: Board, label: string): Work {
  let derived = deriveJob(board, []);
  return {
    get board() {
      return boardAsPlaced(board, derived);
    },
    label,
    purpose: 'drill',
    get derived() {
      return derived;
    },
    record(lines) {
      const recorded: RecordedLine[] = [];
      let after = derived;
      for (const text of lines) {
        const say = printSay(board, admit(board, after, text));
        const n = after.history.events.length + 2;
        after = extendJob(board, after, { n, at: '', say, line: n });
        recorded.push({ n, say });
      }
      derived = after;
      return recorded;
    },
    close() {},
  };
}
