import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { COMMON_HANDHELD } from '../../src/circuit/meter.ts';
import { drillWork } from '../../src/cli/drill/drill-work.ts';
import { useMeter, workbenchFor } from '../../src/cli/engine.ts';
import { LAMP } from './scratch.ts';

const opened = () => drillWork(loadBoard(LAMP, 'lamp.yaml').board, 'drill');

describe('the board a job is worked on', () => {
  it('has the places typed in the job, the last of each', () => {
    const work = opened();
    work.record(['at Q1 10 20', 'at Q1 12.5 20 bottom', 'at C1.plus 3 4']);
    expect(work.board.partNamed.get('Q1')).toMatchObject({ at: [12.5, 20], side: 'bottom' });
    expect(work.board.pins[work.board.partNamed.get('C1')?.pins[0] ?? -1]?.at).toEqual([3, 4]);
  });

  it('loses a place that is taken back, as if it had never been typed', () => {
    const work = opened();
    const plain = work.board;
    const file = plain.partNamed.get('Q1');
    work.record(['at Q1 12.5 20', 'undo']);
    expect(work.board).toBe(plain);
    expect(work.board.partNamed.get('Q1')).toBe(file);
  });

  it('keeps its workbench while no place is typed, and its settings when one is', () => {
    const work = opened();
    useMeter(work.board, { ...COMMON_HANDHELD, beepOhms: 42 });
    work.record(['at Q1 12.5 20']);
    const bench = workbenchFor(work.board);
    expect(bench.bench.meter.beepOhms).toBe(42);
    expect(bench.board.partNamed.get('Q1')?.at).toEqual([12.5, 20]);
    work.record(['P24 GND beep', 'note no place']);
    expect(workbenchFor(work.board)).toBe(bench);
  });
});
