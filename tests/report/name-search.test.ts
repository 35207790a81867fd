import { describe, expect, it } from 'vitest';
import { searchNames } from '../../src/report/name-search.ts';
import { shippedBoard } from '../cases/bench.ts';

const board = shippedBoard('hoist-drive');
const names = (letters: string): string[] => searchNames(board, letters).map(({ name }) => name);

describe('a name looked for by a few letters', () => {
  it('comes first when it is meant exactly, then what begins so', () => {
    expect(names('q1').slice(0, 2)).toEqual(['Q1', 'Q10']);
    expect(names('P48')[0]).toBe('P48');
    expect(names('p48').every((name) => /P48/i.test(name))).toBe(true);
  });

  it('is found by what stands within it, and by its letters in order', () => {
    expect(names('chop')).toContain('P48_CHOP');
    expect(names('gchop')).toContain('GND_CHOP');
  });

  it('is found by what a part is', () => {
    const found = searchNames(board, 'suppressor');
    expect(found.length).toBeGreaterThan(0);
    expect(found.every(({ what, note }) => what === 'part' && /suppressor/i.test(note))).toBe(true);
  });

  it('is none for no letters, or letters that occur nowhere', () => {
    expect(names('')).toEqual([]);
    expect(names('zzzz')).toEqual([]);
  });
});
