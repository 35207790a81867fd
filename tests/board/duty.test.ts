import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { dutyOf } from '../../src/board/duty.ts';
import { loadBoard } from '../../src/board/load.ts';

function duties(file: string): (name: string) => string {
  const { board } = loadBoard(readFileSync(`boards/${file}.yaml`, 'utf8'), file);
  return (name) => {
    const part = board.partNamed.get(name);
    if (part === undefined) throw new Error(`no part ${name}`);
    return dutyOf(board, part);
  };
}

describe('what a part is there for', () => {
  const supply = duties('bench-flyback');
  const drive = duties('hoist-drive');

  it.each([
    ['switch', supply('Q1'), 'n-mosfet at gate, switched, winding'],
    ['gate resistor', supply('R7'), 'resistor at gate, signal'],
    ['rectifier', supply('D10'), 'schottky at supply, winding'],
    ['capacitor at the mains', supply('C5'), 'electrolytic at ground, high supply'],
    ['upper switch of a bridge', drive('Q1'), 'n-mosfet at gate, supply, switched'],
    ['lower one', drive('Q4'), 'n-mosfet at gate, switched'],
    ['capacitor at a low rail', drive('C1'), 'electrolytic at ground, supply'],
  ])('is told by the nets of a %s', (_, told, wanted) => {
    expect(told).toBe(wanted);
  });

  it('is the same on boards that share no name', () => {
    expect(supply('R7')).toBe(drive('R2'));
    expect(drive('C14')).toBe(duties('bypass-rail')('C2'));
  });
});
