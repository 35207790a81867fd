import { describe, expect, it } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { Job, shippedBoard } from '../cases/bench.ts';

const TWO_WIDE_PARTS = [
  'board: two packages that are slow to take off',
  'rails: {r: {plus: A, minus: B, volts: 12}}',
  'parts:',
  '  D1: {kind: suppressor, pins: {A: B, K: A}, package: SMB}',
  '  U1: {kind: ic, pins: {1: A, 2: B, 3: X}, package: QFN-32}',
  '  U2: {kind: ic, pins: {1: A, 2: B, 3: Y}, package: QFN-32}',
].join('\n');

describe('the next step', () => {
  const hoist = new Job(shippedBoard('hoist-drive'));

  it('reads every rail first, and one reading for rails that share their copper', () => {
    const said: string[] = [];
    for (let step = hoist.next(said); step.step.kind === 'read'; step = hoist.next(said)) {
      if (step.phase !== 'survey' || !step.why.startsWith('Rail ')) break;
      const { red, black } = step.step.probe;
      said.push(`${hoist.board.nets[red.net]?.name} ${hoist.board.nets[black.net]?.name} quiet`);
    }
    expect(said).toContain('P48 GND quiet');
    expect(said.length).toBeLessThan(hoist.board.rails.length);
  });

  it('looks before it takes off what is slow to take off', () => {
    const job = new Job(loadBoard(TWO_WIDE_PARTS, 'wide.yaml').board);
    const first = job.next(['A B beep']);
    expect(first.step).toMatchObject({ kind: 'look' });
    const marked = job.next(['A B beep', 'look U2 burnt', 'look U1 looks sound']);
    expect(marked.step).toMatchObject({ kind: 'remove', parts: [job.part('U2')] });
  });

  it('takes out the bank mates of a part that was taken out alone and failed', () => {
    const rails: string[] = [];
    for (let step = hoist.next(rails); step.why.startsWith('Rail '); step = hoist.next(rails)) {
      if (step.step.kind !== 'read') break;
      const { red, black } = step.step.probe;
      rails.push(`${hoist.board.nets[red.net]?.name} ${hoist.board.nets[black.net]?.name} quiet`);
    }
    const found = ['P48 PH_U beep', 'remove Q1', 'P48 PH_U quiet', 'off Q1: D S 0.3 ohm'];
    const { step, why } = hoist.next([...rails, ...found]);
    expect(step).toMatchObject({ kind: 'remove', parts: [hoist.part('Q2'), hoist.part('Q3')] });
    expect(why).toBe('Q2 and Q3 share a bank with a part that failed; a bank is renewed as a set.');
    const renewed = [...rails, ...found, 'remove Q2 Q3', 'replace Q1 Q2 Q3'];
    expect(hoist.next(renewed).step.kind).toBe('read');
  });

  it('tells what each answer would mean, with chances that add up', () => {
    const advice = hoist.next(['P48 GND beep', 'V12_DRV GND quiet', 'V5 GND_LOG quiet']);
    const sum = advice.outcomes.reduce((total, { weight }) => total + weight, 0);
    expect(sum).toBeGreaterThan(0.97);
    expect(sum).toBeLessThanOrEqual(1.0001);
    expect(advice.minutesLeft).toBeGreaterThan(advice.minutes);
  });

  it('does not call a board clear while a leg is lifted or a replaced part is unread', () => {
    const job = new Job(loadBoard(TWO_WIDE_PARTS, 'wide.yaml').board);
    expect(job.next(['A B quiet', 'remove D1']).step.kind).not.toBe('done');
    const fitted = job.next(['A B beep', 'replace U1', 'A B quiet']);
    expect(fitted.open.length + (fitted.step.kind === 'done' ? 0 : 1)).toBeGreaterThan(0);
    expect(job.next(['A B quiet', 'replace U1']).phase).toBe('prove');
  });

  it('opening a heatsink is paid for once', () => {
    const { clock } = hoist.workbench;
    const { state } = hoist.after([]).evidence;
    const [q1, q2] = [hoist.part('Q1'), hoist.part('Q2')];
    const both = clock.remove([q1, q2], state);
    const second = clock.remove([q2], hoist.after(['remove Q1']).evidence.state);
    expect(both).toBeCloseTo(clock.remove([q1], state) + second, 9);
    expect(second).toBeLessThan(clock.remove([q2], state));
  });
});
