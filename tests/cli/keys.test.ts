import { describe, expect, it } from 'vitest';
import { LINE_WORDS } from '../../src/board/names.ts';
import type { MeterMode } from '../../src/circuit/reading.ts';
import { keysFor, keysOfTask } from '../../src/cli/guided/keys.ts';
import { DEFAULT_DISCHARGE_LIMITS } from '../../src/job/discharge-limits.ts';
import type { PlannedStage } from '../../src/job/task.ts';
import { viewTask } from '../../src/report/task-view.ts';
import { shippedBoard } from '../cases/bench.ts';

const board = shippedBoard('hoist-drive');
const net = (name: string): number => board.netNamed.get(name)?.index ?? -1;

function answers(mode: MeterMode): string[] {
  const probe = { mode, red: { net: net('P48') }, black: { net: net('GND') } };
  return keysFor(board, { kind: 'read', probe, purpose: 'prove' }).flatMap(({ key, action }) =>
    action.do === 'record' ? [`${key}: ${action.lines.join()}`] : [],
  );
}

describe('the keys of a reading', () => {
  it.each<[MeterMode, string[]]>([
    ['continuity', ['b: P48 GND beep', 'q: P48 GND quiet']],
    ['ohms', ['v: P48 GND OL']],
    ['diode', ['v: P48 GND OL diode']],
    ['four-wire', ['v: P48 GND OL four-wire']],
    ['millivolts', []],
  ])('of %s are what it can show besides a value', (mode, keys) => {
    expect(answers(mode)).toEqual(keys);
  });
});

describe('the keys of a task', () => {
  it('under power never swallow the first letter of a line that may be typed there', () => {
    const planned: PlannedStage = { stage: 1, rails: [0], text: 'bring up bus' };
    const view = viewTask(board, { kind: 'power', planned, count: 1 }, DEFAULT_DISCHARGE_LIMITS);
    const own = keysOfTask(view).filter(({ action }) => action.do === 'record');
    const starts = LINE_WORDS.map((word) => word[0]);
    expect(own.length).toBeGreaterThan(2);
    expect(own.filter(({ key }) => starts.includes(key))).toEqual([]);
    expect(view.lines[0]).toBe('powered P48 GND 48 V');
  });
});
