import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { padPlace, placedBoard } from '../../src/board/placed-board.ts';

const { board } = loadBoard(
  `board: b
parts:
  C1: {kind: ceramic, pins: [P5, GND], at: [10, 10], pin-at: {1: [9, 10], 2: [11, 10]}}
  C2: {kind: ceramic, pins: [P5, GND], pin-at: {1: [20, 5], 2: [22, 5]}}
  C3: {kind: ceramic, pins: [P5, GND]}
`,
  'b.yaml',
);

const part = (name: string): number => board.partNamed.get(name)?.index ?? -1;
const pin = (name: string, nth: number): number => board.partNamed.get(name)?.pins[nth] ?? -1;

describe('positions typed at the bench', () => {
  test('none leave the very same board', () => {
    expect(placedBoard(board, [])).toBe(board);
  });

  test('of a part take its pads along', () => {
    const moved = placedBoard(board, [{ part: part('C1'), xy: [15, 30], side: 'bottom' }]);
    expect(moved.partNamed.get('C1')).toMatchObject({ at: [15, 30], side: 'bottom' });
    expect(padPlace(moved, pin('C1', 0))).toEqual([14, 30]);
    expect(padPlace(moved, pin('C1', 1))).toEqual([16, 30]);
  });

  test('of a part known by its pads alone move their middle there', () => {
    const moved = placedBoard(board, [{ part: part('C2'), xy: [0, 0] }]);
    expect(padPlace(moved, pin('C2', 0))).toEqual([-1, 0]);
    expect(padPlace(moved, pin('C2', 1))).toEqual([1, 0]);
  });

  test('of a pad leave the part where it is, and place one that had no place', () => {
    const first = placedBoard(board, [{ part: part('C1'), pin: pin('C1', 0), xy: [1, 2] }]);
    expect(padPlace(first, pin('C1', 0))).toEqual([1, 2]);
    expect(first.partNamed.get('C1')?.at).toEqual([10, 10]);
    const other = placedBoard(board, [{ part: part('C3'), pin: pin('C3', 1), xy: [7, 8] }]);
    expect(padPlace(other, pin('C3', 0))).toEqual([7, 8]);
  });

  test('change nothing else: names, nets and numbers stay, and the board given is untouched', () => {
    const placing = fc.record({
      part: fc.constantFrom(...board.parts).map(({ index }) => index),
      xy: fc.tuple(fc.integer({ min: -50, max: 50 }), fc.integer({ min: -50, max: 50 })),
    });
    const before = JSON.stringify([board.parts, board.pins]);
    fc.assert(
      fc.property(fc.array(placing, { maxLength: 6 }), (placed) => {
        const made = placedBoard(board, placed);
        for (const { part: index, xy } of placed.slice(-1)) {
          expect(made.parts[index]?.at).toEqual(xy);
          expect(made.partNamed.get(made.parts[index]?.name ?? '')).toBe(made.parts[index]);
        }
        expect(made.pins.map(({ at: _, ...rest }) => rest)).toEqual(
          board.pins.map(({ at: _, ...rest }) => rest),
        );
        expect(made.nets).toBe(board.nets);
      }),
    );
    expect(JSON.stringify([board.parts, board.pins])).toBe(before);
  });

  test('of which the last wins: a part sent away and back is where it was, pads too', () => {
    const there = { part: part('C1'), xy: [90, 80] as const };
    const back = { part: part('C1'), xy: [10, 10] as const };
    expect(placedBoard(board, [there, back]).pins).toEqual(board.pins);
  });
});
