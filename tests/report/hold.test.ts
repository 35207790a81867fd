import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { AS_FOUND } from '../../src/circuit/state.ts';
import { stepLines, viewAdvice } from '../../src/report/advice.ts';
import { NO_COLOUR } from '../../src/report/style.ts';
import { openWorkbench } from '../../src/steps/advise.ts';
import { holdFor } from '../../src/steps/hold.ts';
import type { Advice, Step } from '../../src/steps/step.ts';
import { LAMP } from '../cli/scratch.ts';

function linesOf(board: string, step: (net: (name: string) => number) => Step): string {
  const { board: loaded } = loadBoard(board, 'b');
  const workbench = openWorkbench(loaded);
  const advice: Advice = {
    phase: 'survey',
    step: step((name) => loaded.netNamed.get(name)!.index),
    minutes: 1,
    minutesLeft: 1,
    why: '',
    outcomes: [],
    others: [],
    open: [],
  };
  const view = viewAdvice(loaded, advice, (each) => holdFor(workbench, AS_FOUND, each));
  return stepLines(view, { width: 200, palette: NO_COLOUR }).join('\n');
}

const read =
  (red: string, black: string, mode: 'continuity' | 'diode' = 'continuity') =>
  (net: (name: string) => number): Step => ({
    kind: 'read',
    purpose: 'survey',
    probe: { mode, red: { net: net(red) }, black: { net: net(black) } },
  });

describe('how long to hold the probes', () => {
  it('is told with the step, and why', () => {
    expect(linesOf(LAMP, read('P24', 'GND'))).toContain(
      'Hold 2 s: 471 µF across these points keep the beeper on for 14 ms while they charge.',
    );
    expect(linesOf(LAMP, read('P24', 'GND', 'diode'))).toContain(
      'Hold 2 s: 471 µF across these points take 940 ms to charge, and no value counts before.',
    );
  });

  it('asks for a second reading, swapped and discharged between, above a millifarad', () => {
    expect(linesOf(LAMP.replace('470u', '2200u'), read('P24', 'GND'))).toMatch(
      /Hold 3 s: .* Then discharge them, swap the probes and read again\./,
    );
  });

  it('is left out where it makes no difference', () => {
    expect(linesOf(LAMP, read('GATE', 'GND'))).not.toMatch(/Hold/);
    expect(linesOf(LAMP.replace('470u', '10u'), read('P24', 'GND'))).not.toMatch(/Hold/);
  });

  it('counts with the board as the step leaves it', () => {
    const lift = (net: (name: string) => number): Step => {
      const { board } = loadBoard(LAMP, 'b');
      const part = board.partNamed.get('C1')!;
      const then = {
        mode: 'continuity',
        red: { net: net('P24') },
        black: { net: net('GND') },
      } as const;
      return { kind: 'lift', part: part.index, pins: [part.pins[0]!], then };
    };
    expect(linesOf(LAMP, lift)).not.toMatch(/Hold/);
  });
});
