import { describe, expect, test } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import { placedBoard } from '../../src/board/placed-board.ts';
import { positionsFor, viewPositions } from '../../src/report/positions.ts';
import type { Advice, Step } from '../../src/steps/step.ts';

function boardOf(count: number, at = ''): Board {
  const rows = Array.from(
    { length: count },
    (_, i) => `  C${i + 1}: {kind: ceramic, pins: [P5, GND]${at}}`,
  );
  return loadBoard(
    `board: b\nrails:\n  logic: {plus: P5, minus: GND}\nparts:\n${rows.join('\n')}\n  R1: {kind: resistor, ohms: 1k, pins: [P5, LED]}\n  R2: {kind: resistor, ohms: 1k, pins: [LED, GND]${at}}\n`,
    'b.yaml',
  ).board;
}

const railOf = (board: Board) => board.rails[0] ?? { plus: 0, minus: 1 };

const adviceAt = (phase: Advice['phase'], step: Step): Advice => ({
  phase,
  step,
  minutes: 1,
  minutesLeft: 1,
  why: '',
  outcomes: [],
  others: [],
  open: [],
});

describe('what positions would buy', () => {
  test('is told where many parts lie in parallel and none has a place', () => {
    const board = boardOf(12);
    const view = viewPositions(board, railOf(board));
    expect(view).toMatchObject({ rail: 'logic', points: 13, placed: 0 });
    expect(view?.text.replaceAll('\u00a0', ' ')).toBe(
      'none of the 13 points of P5 have a position. With positions, four-wire or millivolt readings along the rail could narrow C1–C12 (12 parts that read alike) without lifting. Import them, or type them in mm: at C1 31.5 20',
    );
  });

  test('counts those typed at the bench, and names one that is still without', () => {
    const board = boardOf(12);
    const placed = placedBoard(board, [
      { part: 0, xy: [1, 1] },
      { part: 1, pin: board.parts[1]?.pins[0] ?? -1, xy: [4, 1] },
    ]);
    const view = viewPositions(placed, railOf(board));
    expect(view).toMatchObject({ points: 13, placed: 2 });
    expect(view?.text).toContain('at C3 31.5 20');
  });

  test('is not told of few parts, nor where every point has its place', () => {
    const few = boardOf(5);
    expect(viewPositions(few, railOf(few))).toBeUndefined();
    const known = boardOf(12, ', at: [3, 4]');
    const whole = placedBoard(known, [{ part: 12, xy: [9, 9] }]);
    expect(viewPositions(whole, railOf(whole))).toBeUndefined();
  });

  test('is told while a fault is looked for on that rail, and at no other time', () => {
    const board = boardOf(12);
    const suspects = board.parts.map(({ index }) => index);
    const off: Step = { kind: 'remove', parts: [3] };
    expect(positionsFor(board, adviceAt('isolate', off), suspects)?.rail).toBe('logic');
    expect(positionsFor(board, adviceAt('isolate', off), suspects.slice(0, 3))).toBeUndefined();
    expect(positionsFor(board, adviceAt('survey', off), suspects)).toBeUndefined();
  });
});
