// A part that beeps when it is well: only ohms tell its short.
import { describe, expect, it } from 'vitest';
import { Job, play, shippedBoard } from './bench.ts';

describe('a short across a part that beeps anyway', () => {
  const board = shippedBoard('bench-flyback');

  it('is found, although the same two points were only beeped before', () => {
    const { played, job, replaced } = play(board, [{ part: 'RT1', mode: 'short' }]);
    expect(played.clear).toBe(true);
    expect(replaced).toEqual(['RT1']);
    const { readings } = job.evidence;
    expect(readings.some(({ mode, offPart }) => mode === 'ohms' && offPart === undefined)).toBe(
      true,
    );
  });

  it('is what the proof of a new one asks for in ohms, and a beep does not stand for', () => {
    const bench = new Job(board);
    const fitted = ['replace RT1', 'AC_F AC_L beep'];
    const item = bench.after(fitted).proof.find(({ name }) => name === 'RT1');
    expect(item?.missing.map(({ mode }) => mode)).toEqual(['ohms']);
    const measured = bench.after([...fitted, 'AC_F AC_L 5 ohm']);
    expect(measured.proof.find(({ name }) => name === 'RT1')?.holds).toBe(true);
  });
});
