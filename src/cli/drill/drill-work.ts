import { type Diagnostic, InputError } from '../../board/diagnostic.ts';
import type { Board } from '../../board/model.ts';
import { admit, deriveJob, extendJob } from '../../job/derive.ts';
import { isGrowth } from '../../job/growth/scan.ts';
import { printSay } from '../../job/print-say.ts';
import { boardAsPlaced } from '../engine.ts';
import type { RecordedLine, Work } from '../work.ts';

/** The simulated board has what its file says. */
const NOT_IN_A_DRILL: Diagnostic = {
  code: 'NOT_IN_A_DRILL',
  severity: 'error',
  message: 'the board of a drill is as its file says: there is nothing more to see on it',
};

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
        const admitted = admit(board, after, text);
        if (isGrowth(admitted)) throw new InputError([NOT_IN_A_DRILL]);
        const say = printSay(board, admitted);
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
