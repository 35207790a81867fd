import { describe, expect, it } from 'vitest';
import { deriveJob } from '../../src/job/derive.ts';
import { findings } from '../../src/job/findings.ts';
import { recheck } from '../../src/job/recheck.ts';
import { type Ground, jointsTouched, replacedParts } from '../../src/job/work-done.ts';
import { events } from './events.ts';
import { jumperHealth } from './jumper-health.ts';
import { tinyBoard } from './tiny-board.ts';

const board = tinyBoard();
const healthy = jumperHealth(board);

const job = (...says: readonly string[]) => deriveJob(board, events(...says));

/** Each finding as the events of its work, and the readings it turned. */
function told(...says: readonly string[]): unknown[] {
  return findings(board, job(...says), healthy).map(({ by, work, turns }) => ({
    by,
    work: work.map(({ event }) => event.n),
    turns: turns.map(({ before, after, was }) => `${was} ${before.id}-${after.id}`),
  }));
}

function groundOf(part: string, ...says: readonly string[]): Ground | undefined {
  const whole = job(...says);
  const found = findings(board, whole, healthy);
  const { parts } = recheck(board, whole, healthy);
  const index = board.partNamed.get(part)?.index;
  return replacedParts(board, whole, { findings: found, parts }).find((one) => one.part === index)
    ?.ground;
}

describe('the work that turned a reading', () => {
  it('is what lies between the last reading with the fault and the first without', () => {
    expect(
      told('P48 GND beep', 'P48 GND 0.3 ohm', 'remove Q1', 'look Q3 burnt', 'P48 GND quiet'),
    ).toEqual([{ by: 'repair', work: [4], turns: ['short 3-6'] }]);
  });

  it('puts pairs that turned with the same work together, the least work first', () => {
    expect(
      told(
        'P48_FAN GND beep',
        'P48 GND beep',
        'remove Q1',
        'P48 GND quiet',
        'replace Q1',
        'P48_FAN GND OL',
      ),
    ).toEqual([
      { by: 'repair', work: [4], turns: ['short 3-5'] },
      { by: 'repair', work: [4, 6], turns: ['short 2-7'] },
    ]);
  });

  it('tells a lift, which only narrows down, from a repair, and nothing at all from both', () => {
    expect(told('P48 GND beep', 'lift W3', 'P48 GND quiet')).toEqual([
      { by: 'lift', work: [3], turns: ['short 2-4'] },
    ]);
    expect(told('P48 GND beep', 'P48 GND quiet')).toEqual([
      { by: 'none', work: [], turns: ['short 2-3'] },
    ]);
  });

  it('counts a way that was missing and is there, with everything on the board', () => {
    expect(told('P48 P48_FAN quiet', 'reflow W3', 'P48 P48_FAN beep')).toEqual([
      { by: 'repair', work: [3], turns: ['open 2-4'] },
    ]);
    expect(told('lift W3', 'P48 P48_FAN quiet', 'refit W3', 'P48 P48_FAN beep')).toEqual([]);
  });

  it('keeps what was read before an upset', () => {
    expect(
      told('P48 GND beep', 'remove Q1', 'P48 GND quiet', 'replace Q1', 'power 1 stopped smoke'),
    ).toEqual([{ by: 'repair', work: [3], turns: ['short 2-4'] }]);
  });
});

describe('why a part was replaced', () => {
  it('is what it read on its own legs, before all', () => {
    const says = [
      'P48 GND beep',
      'remove Q1',
      'P48 GND quiet',
      'off Q1: D S 0.3 ohm',
      'replace Q1',
    ];
    expect(groundOf('Q1', ...says)).toMatchObject({ why: 'own legs', reading: { id: 5 } });
    expect(groundOf('W3', 'remove W3', 'off W3: 1 2 OL', 'replace W3')).toMatchObject({
      why: 'own legs',
    });
  });

  it('is the reading that its removal alone turned', () => {
    const says = ['P48 GND beep', 'remove Q1', 'P48 GND quiet', 'replace Q1'];
    expect(groundOf('Q1', ...says)).toMatchObject({ why: 'its work cleared' });
    // Healthy on its own legs: something else came right with it.
    const sound = ['P48 GND beep', 'remove Q1', 'P48 GND quiet', 'off Q1: D S OL', 'replace Q1'];
    expect(groundOf('Q1', ...sound)).toMatchObject({ why: 'renewed' });
  });

  it('is nothing of its own where several came off at once', () => {
    const says = ['P48 GND beep', 'remove Q1 Q3', 'P48 GND quiet', 'replace Q1 Q3'];
    expect(groundOf('Q1', ...says)).toEqual({ why: 'renewed' });
    expect(groundOf('Q1', 'look Q1 burnt', ...says)).toMatchObject({ why: 'look' });
  });
});

describe('joints touched', () => {
  it('are those of parts that came off or went in, legs lifted, and reflows', () => {
    const whole = job('lift W3', 'remove Q1', 'replace Q1', 'refit W3', 'reflow D3.A', 'lift Q3.D');
    const { ofParts, lifted, reflowed } = jointsTouched(board, whole);
    const [q1] = ofParts;
    expect(q1?.part).toBe(board.partNamed.get('Q1')?.index);
    expect(q1?.pins).toHaveLength(3);
    expect(lifted.map(({ event, back }) => [event, back])).toEqual([
      [2, 5],
      [7, undefined],
    ]);
    expect(reflowed).toMatchObject([{ event: 6, kind: 'refurbishment' }]);
  });
});
