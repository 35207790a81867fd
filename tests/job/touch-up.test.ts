import { describe, expect, it } from 'vitest';
import type { Board } from '../../src/board/model.ts';
import { deriveJob } from '../../src/job/derive.ts';
import { partGrams } from '../../src/job/part-mass.ts';
import { reflowWork } from '../../src/job/reflow-work.ts';
import { type JointRow, type TouchUp, touchUp } from '../../src/job/touch-up.ts';
import { shippedBoard } from '../cases/bench.ts';
import { events } from './events.ts';

const board = shippedBoard('hoist-drive');

function listed(...says: string[]): TouchUp {
  return touchUp(board, deriveJob(board, events(...says)));
}

function rowOf(list: TouchUp, name: string): JointRow | undefined {
  return list.rows.find(({ part }) => board.parts[part]?.name === name);
}

function causes(row: JointRow | undefined): string[] {
  return (row?.causes ?? []).map(({ cause }) => cause);
}

/** `D cracked, G to look at …` of one part. */
function joints(list: TouchUp, name: string): string[] {
  const row = rowOf(list, name);
  return (row?.joints ?? []).map(({ pin, state }) => `${board.pins[pin]?.name} ${state}`);
}

describe('joints that will fail next', () => {
  it('are those of heavy, hot, levered and plugged parts, not of chips', () => {
    const list = listed();
    const names = list.rows.map(({ part }) => board.parts[part]?.name);
    expect(names).toContain('J1');
    expect(names).toContain('Q19');
    expect(names).toContain('C6');
    expect(names.some((name) => /^(R50|C30|U8|D11)$/.test(name ?? ''))).toBe(false);
  });

  it('come with a cause each, the most stressed first', () => {
    const { rows } = listed();
    const points = rows.map((row) => row.points);
    expect([...points].sort((a, b) => b - a)).toEqual(points);
    expect(rows.every((row) => row.causes.length > 0)).toBe(true);
    expect(causes(rowOf(listed(), 'C6'))).toContain('known to fail first');
  });

  it('make a short list on a big board, and say how many were left off', () => {
    for (const name of ['hoist-drive', 'bypass-rail', 'bench-flyback']) {
      const big = shippedBoard(name);
      const { rows, leftOff } = touchUp(big, deriveJob(big, []));
      expect(rows.length).toBeGreaterThan(0);
      expect(rows.length).toBeLessThan(big.parts.length / 3);
      expect(leftOff).toBeGreaterThan(0);
    }
  });

  it('rise to the top when an eye found something, whatever the part', () => {
    const [top] = listed('look R50.1 cracked').rows;
    expect(board.parts[top?.part ?? -1]?.name).toBe('R50');
    expect(causes(rowOf(listed('look U6 reworked'), 'U6'))).toContain('reworked before');
  });

  it('keep every part with something found, however many there are', () => {
    const many = board.parts.filter(({ pins }) => pins.length === 2).slice(0, 60);
    const says = many.map(
      ({ name, pins }) => `look ${name}.${board.pins[pins[0] ?? -1]?.name} cracked`,
    );
    expect(listed(...says).rows.length).toBeGreaterThanOrEqual(60);
  });

  it('are told joint by joint', () => {
    const list = listed('look Q3.D cracked', 'look Q3.S looks sound');
    expect(joints(list, 'Q3')).toEqual(['G to look at', 'D cracked', 'S sound']);
    expect(list.cracked.map((pin) => board.pins[pin]?.name)).toEqual(['D']);
    const mended = listed('look Q3.D cracked', 'reflow Q3.D');
    expect(joints(mended, 'Q3')).toEqual(['G to look at', 'D reflowed', 'S to look at']);
    expect(mended.cracked).toEqual([]);
    expect(joints(listed('look Q3 looks sound'), 'Q3')).toEqual(['G sound', 'D sound', 'S sound']);
    expect(joints(listed('reflow Q3.D', 'look Q3.D cracked'), 'Q3')[1]).toBe('D cracked');
  });

  it('count down as they are looked at', () => {
    const { open, joints: all } = listed();
    expect(listed('look Q3 looks sound').open).toBe(open - 3);
    expect(open).toBe(all);
  });

  it('are looked at anew on a part that was fitted', () => {
    const list = listed('look Q3.D cracked', 'remove Q3', 'replace Q3');
    expect(joints(list, 'Q3')).toEqual(['G to look at', 'D to look at', 'S to look at']);
    expect(causes(rowOf(list, 'Q3'))[0]).toBe('fitted in this job');
    expect(causes(rowOf(listed('remove Q3', 'refit Q3'), 'Q3'))[0]).toBe('put back in this job');
    expect(rowOf(listed('remove Q3'), 'Q3')).toBeUndefined();
  });
});

describe('a reflow', () => {
  const kinds = (says: readonly string[], isAccused?: (pin: number, before: number) => boolean) =>
    reflowWork(board, deriveJob(board, events(...says)), isAccused).map(
      ({ pin, kind, because, by }) => [board.pins[pin]?.name, kind, because, by],
    );

  it('is refurbishment where no evidence accused the joint', () => {
    expect(kinds(['P48 GND quiet', 'reflow C1'])).toEqual([
      ['plus', 'refurbishment', 'stressed', undefined],
      ['minus', 'refurbishment', 'stressed', undefined],
    ]);
  });

  it('is repair where an eye found the crack before, not after', () => {
    expect(kinds(['look Q3.D cracked', 'reflow Q3.D'])).toEqual([
      ['D', 'repair', 'found cracked', 2],
    ]);
    expect(kinds(['reflow Q3.D', 'look Q3.D cracked'])).toEqual([
      ['D', 'refurbishment', 'stressed', undefined],
    ]);
  });

  it('is repair where the repair had undone the joint', () => {
    expect(kinds(['remove Q3', 'replace Q3', 'reflow Q3.D'])[0]?.slice(1)).toEqual([
      'repair',
      'undone by the repair',
      3,
    ]);
  });

  it('is repair where the readings before it accused the joint', () => {
    const asked: number[] = [];
    const accused = (_pin: number, before: number): boolean => {
      asked.push(before);
      return true;
    };
    expect(kinds(['P48 GND quiet', 'reflow W3.1'], accused)[0]?.slice(1, 3)).toEqual([
      'repair',
      'accused by readings',
    ]);
    expect(asked).toEqual([3]);
  });

  it('that was taken back is not told', () => {
    expect(kinds(['reflow C1', 'undo'])).toEqual([]);
  });
});

describe('what a part weighs', () => {
  const grams = (name: string, of: Board = board) => {
    const part = of.partNamed.get(name);
    return part === undefined ? -1 : partGrams(part);
  };

  it('follows from its package: cans and windings heavy, chips nothing', () => {
    expect(grams('C1')).toBeGreaterThan(10);
    expect(grams('C1')).toBeLessThan(20);
    expect(grams('C21')).toBeLessThan(grams('C1'));
    expect(grams('R50')).toBe(0);
    expect(grams('U7')).toBe(0);
    expect(grams('T1', shippedBoard('bench-flyback'))).toBeGreaterThan(30);
  });
});
