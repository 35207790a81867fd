import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { columnsOf } from '../../src/board/shown-text.ts';
import { Circuit } from '../../src/circuit/circuit.ts';
import { deriveJob } from '../../src/job/derive.ts';
import type { JobEvent } from '../../src/job/event-line.ts';
import { powerPlan } from '../../src/job/power-plan.ts';
import { powerLines } from '../../src/report/power-lines.ts';
import { viewPowerPlan } from '../../src/report/power-plan.ts';
import { viewSoak } from '../../src/report/soak.ts';
import { soakLines } from '../../src/report/soak-lines.ts';
import { NO_COLOUR, type Palette } from '../../src/report/style.ts';
import { touchUpLines, viewTouchUp } from '../../src/report/touch-up.ts';
import { shippedBoard } from '../cases/bench.ts';

const START = Date.UTC(2026, 10, 24, 14, 0, 0);
const SAYS: Readonly<Record<string, readonly string[]>> = {
  'hoist-drive': [
    'look Q3.D cracked',
    'reflow Q3.D Q1.D',
    'powered P48 GND 24 V',
    'powered P48 GND 61 V',
    'draws bus 2 A',
    'power 1 passed',
    'function passed brake holds',
    'soak start 60 min',
    'temp Q3 91 C',
    'temp R5 31 C',
    'powered V5 GND_LOG 5.6 V',
    'soak finding fan rattles',
  ],
  'bypass-rail': ['power 1 passed', 'power 2 passed', 'soak start 2 h', 'soak passed'],
  'bench-flyback': ['replace Q1', 'look C5 leaking', 'power 1 stopped controller hot, C13 dry'],
};

function eventsOf(says: readonly string[]): JobEvent[] {
  return says.map((say, k) => ({
    n: k + 2,
    at: new Date(START + k * 60_000).toISOString(),
    say,
    line: k + 2,
  }));
}

const strong: Palette = {
  strong: (text) => `<${text}>`,
  quiet: (text) => `<${text}>`,
  good: (text) => `<${text}>`,
  bad: (text) => `<${text}>`,
  warn: (text) => `<${text}>`,
};

/** Everything shown of touch-up, power-up and soak of a board, some hours into the job. */
function linesOf(name: string, width: number, palette: Palette): string[] {
  const board = shippedBoard(name);
  const circuit = new Circuit(board);
  const plan = powerPlan(circuit);
  const style = { width, palette };
  return [[], SAYS[name] ?? []].flatMap((says) => {
    const job = deriveJob(board, eventsOf(says));
    expect(job.problems).toEqual([]);
    const gates = [
      {
        name: 'rail bus read clear',
        holds: says.length > 0,
        needs: ['read P48 GND: not read yet'],
      },
    ];
    const nowMs = START + 3 * 3600_000;
    return [
      ...touchUpLines(viewTouchUp(board, job), 'job.yaml', style),
      ...powerLines(
        viewPowerPlan(board, plan, job, gates, ['brake holds', 'lifts']),
        'job.yaml',
        style,
      ),
      ...soakLines(viewSoak(board, plan, job, { nowMs }), 'job.yaml', style),
    ];
  });
}

describe.each(Object.keys(SAYS))('what is shown of %s under power', (name) => {
  it.each([50, 80, 200])('keeps to %i columns', (width) => {
    for (const line of linesOf(name, width, NO_COLOUR)) {
      expect(columnsOf(line), line).toBeLessThanOrEqual(width);
    }
  });

  it('says the same with colour and without', () => {
    const plain = linesOf(name, 80, NO_COLOUR);
    const marked = linesOf(name, 80, strong).map((line) => line.replace(/^<(.*)>$/, '$1'));
    expect(marked).toEqual(plain);
  });

  it('never says of a board that it is safe', () => {
    expect(linesOf(name, 200, NO_COLOUR).join('\n')).not.toMatch(/\bsafe\b/i);
  });

  it('has no gap where a figure or a name is missing', () => {
    fc.assert(
      fc.property(fc.integer({ min: 50, max: 200 }), (width) => {
        expect(linesOf(name, width, NO_COLOUR).join('\n')).not.toMatch(
          /undefined|NaN|\[object| {2},/,
        );
      }),
      { numRuns: 5 },
    );
  });
});

it('says so when a board file names no rails', () => {
  const { board } = loadBoard(
    'board: Bare\nparts:\n  R1: {kind: resistor, ohms: 1k, pins: [A, B]}\n',
    'bare.yaml',
  );
  const plan = powerPlan(new Circuit(board));
  const view = viewPowerPlan(board, plan, deriveJob(board, []), []);
  const text = powerLines(view, 'job.yaml', { width: 80, palette: NO_COLOUR }).join('\n');
  expect(plan.stages).toEqual([]);
  expect(text).toMatch(/names no rails/);
  expect(text).not.toMatch(/stage passed/);
});
