import { describe, expect, test } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';
import { currentHint } from '../../src/report/current-hint.ts';
import type { Advice } from '../../src/steps/step.ts';

function boardOf(placed: number): Board {
  const rows = Array.from({ length: 10 }, (_, k) => {
    const at = k < placed ? `, at: [${k}, 0]` : '';
    return `  C${k + 1}: {kind: ceramic, pins: [P5, GND]${at}}`;
  });
  const text = `board: b\nrails:\n  logic: {plus: P5, minus: GND}\nparts:\n${rows.join('\n')}\n`;
  return loadBoard(text, 'b.yaml').board;
}

const adviceAt = (phase: Advice['phase']): Advice => ({
  phase,
  step: { kind: 'done' },
  minutes: 1,
  minutesLeft: 1,
  why: '',
  outcomes: [],
  others: [],
  open: [],
});
const suspects = [0, 1, 2, 3, 4, 5, 6, 7];

describe('what a current would buy', () => {
  test('is told where many suspects lie across a rail whose pads have places', () => {
    const hint = currentHint(boardOf(10), adviceAt('isolate'), suspects);
    expect(hint?.alike).toHaveLength(8);
    expect(hint?.text).toBe(
      'A current injected into P5, and millivolts from pad to pad, could narrow C1–C8 (8 parts) without a lift. How: trace-short board b.yaml --inject "logic"',
    );
  });

  test('is not told of few suspects, without places, or once the fault is found', () => {
    expect(currentHint(boardOf(10), adviceAt('isolate'), suspects.slice(0, 3))).toBeUndefined();
    expect(currentHint(boardOf(4), adviceAt('isolate'), suspects)).toBeUndefined();
    expect(currentHint(boardOf(10), adviceAt('prove'), suspects)).toBeUndefined();
  });
});
