import type { Board } from '../../board/model.ts';
import { formatAmps } from '../../board/units.ts';
import type { Injection } from '../../circuit/reading.ts';
import type { DerivedJob } from '../../job/derive.ts';
import { printValue } from '../../job/value.ts';
import { partName, pointName } from '../names.ts';

/** One current that was injected, with what was read along the copper and felt meanwhile. */
export interface InjectionRunView {
  /** `500 mA into P48, back from GND`. */
  readonly current: string;
  readonly amps: number;
  /** Event that began it, and the one that ended or changed it; absent while it is on. */
  readonly event: number;
  readonly ended?: number;
  readonly readings: readonly {
    readonly points: string;
    readonly value: string;
    readonly event: number;
  }[];
  /** `C12 (event 6)`. */
  readonly warm: readonly string[];
}

/** Every current of a job, in order. */
export function viewInjections(board: Board, job: DerivedJob): InjectionRunView[] {
  const runs: InjectionRunView[] = [];
  const change = (to: (run: InjectionRunView) => InjectionRunView): void => {
    const last = runs.pop();
    if (last !== undefined) runs.push(to(last));
  };
  for (const { event, say } of job.active) {
    const { n } = event;
    if (say.do === 'inject' || say.do === 'inject-off') {
      change((run) => (run.ended === undefined ? { ...run, ended: n } : run));
      if (say.do === 'inject') runs.push(begun(board, say, n));
    } else if (say.do === 'read' && say.reading.mode === 'millivolts') {
      const { red, black } = say.reading;
      const points = `${pointName(board, red)} to ${pointName(board, black)}`;
      const row = { points, value: printValue(say.reading), event: n };
      change((run) => ({ ...run, readings: [...run.readings, row] }));
    } else if (say.do === 'look' && say.finding === 'warm') {
      const text = `${partName(board, say.part ?? -1)} (event ${n})`;
      change((run) => ({ ...run, warm: [...run.warm, text] }));
    }
  }
  return runs;
}

function begun(board: Board, { red, black, amps }: Injection, event: number): InjectionRunView {
  const current = `${formatAmps(amps)} into ${pointName(board, red)}, back from ${pointName(board, black)}`;
  return { current, amps, event, readings: [], warm: [] };
}
