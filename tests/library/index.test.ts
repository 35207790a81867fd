import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import {
  advise,
  analyse,
  deriveJob,
  extendJob,
  loadBoard,
  openWorkbench,
  parseSay,
  printSay,
  SimulatedBench,
} from '../../src/index.ts';

const file = fileURLToPath(new URL('../../boards/bench-flyback.yaml', import.meta.url));

describe('the library', () => {
  it('plays a drill from code: read what is advised, until nothing is left', () => {
    const { board } = loadBoard(readFileSync(file, 'utf8'), file);
    const workbench = openWorkbench(board);
    const bench = new SimulatedBench(board, { seed: 4, faults: 0 });
    let job = deriveJob(board, []);
    for (let n = 2; n < 200; n += 1) {
      const { step } = advise(analyse(workbench, job.evidence));
      if (step.kind !== 'read') {
        expect(step.kind).toBe('done');
        break;
      }
      const value = bench.answer(step.probe, job.evidence.state);
      const say = printSay(board, { do: 'read', reading: { ...step.probe, value } });
      expect(parseSay(board, say).do).toBe('read');
      job = extendJob(board, job, { n, at: '', say, line: n });
    }
    expect(job.evidence.readings.length).toBeGreaterThan(board.rails.length - 1);
  });
});
