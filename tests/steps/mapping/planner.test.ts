import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { MAP_FIGURES } from '../../../src/steps/mapping/figures.ts';
import { NetMap } from '../../../src/steps/mapping/net-map.ts';
import { SweepPlanner } from '../../../src/steps/mapping/next-sweep.ts';
import { rowsOf } from '../../../src/steps/mapping/rows.ts';
import { answerOf, groupsOf, hiddenGroups, play, randomBoard } from './simulated.ts';

const boards = fc
  .tuple(
    fc.integer({ min: 1, max: 1e6 }),
    fc.integer({ min: 3, max: 14 }),
    fc.integer({ min: 2, max: 24 }),
  )
  .map(([seed, nets, parts]) => randomBoard(seed, nets, parts));

/** Every pair not ruled out is worth a touch, as long as any chance is left. */
const PATIENT = { mostTouches: 1e9, slipRatio: 1e-6, rowSlipRatio: 1e-6 };

describe('the planner of a map', () => {
  it('recovers the nets exactly, when it is to leave no pair unread', () => {
    fc.assert(
      fc.property(boards, (board) => {
        expect(groupsOf(play(board, PATIENT))).toBe(hiddenGroups(board));
      }),
      { numRuns: 60 },
    );
  });

  it('never joins what is apart, however early it stops', () => {
    fc.assert(
      fc.property(boards, fc.integer({ min: 2, max: 300 }), (board, mostTouches) => {
        const map = play(board, { mostTouches });
        for (const net of map.nets()) {
          expect(new Set(map.pointsOf(net).map((point) => board.truth[point])).size).toBe(1);
        }
      }),
      { numRuns: 40 },
    );
  });

  it('asks for nothing that is known: no two points of one net, no pair that parts keep apart', () => {
    fc.assert(
      fc.property(boards, (board) => {
        play(board, PATIENT, (sweep, map) => {
          const held = map.netOf(sweep.hold);
          const singles = sweep.touch.filter(({ points }) => points.length === 1);
          for (const { points } of sweep.touch) {
            for (const point of points) expect(map.netOf(point)).not.toBe(held);
          }
          for (const {
            points: [point = -1],
          } of singles) {
            const part = board.problem.parts[board.problem.points[sweep.hold]!.part]!;
            if (part.isApart) expect(part.points).not.toContain(point);
          }
          const nets = singles.map(({ points: [point = -1] }) => map.netOf(point));
          expect(new Set(nets).size).toBe(nets.length);
        });
      }),
      { numRuns: 40 },
    );
  });

  it('asks no pair a second time that a touch of one point found quiet, with a meter that never errs', () => {
    fc.assert(
      fc.property(boards, (board) => {
        const read = new Set<string>();
        play(board, { ...PATIENT, mostTouches: 500 }, (sweep, map) => {
          const beeped = answerOf(board.truth, sweep) ?? sweep.touch.length;
          for (const { points } of sweep.touch.slice(0, beeped)) {
            if (points.length > 1) continue;
            const pair = [map.netOf(sweep.hold), map.netOf(points[0]!)]
              .map((net) => Math.min(...map.pointsOf(net)))
              .sort((a, b) => a - b)
              .join(' ');
            expect(read).not.toContain(pair);
            read.add(pair);
          }
        });
      }),
      { numRuns: 40 },
    );
  });

  it('asks again for a beep against the odds, and takes no single one for a joint', () => {
    const board = randomBoard(7, 8, 16);
    const map = new NetMap(board.problem, { ...MAP_FIGURES, slipRatio: 0.05 });
    const planner = new SweepPlanner(map);
    const far = board.truth.findIndex((net, point) => point > 0 && net !== board.truth[0]);
    planner.read(0, [far], true);
    expect(map.netOf(0)).not.toBe(map.netOf(far));
    expect(planner.next()).toMatchObject({ hold: 0, touch: [{ points: [far] }], why: 'again' });
    planner.read(0, [far], false);
    expect(planner.next()?.why).toBe('new');
  });

  it('hears nets of some size again between other points: one wrongly on its net joins no others', () => {
    const board = randomBoard(7, 8, 30);
    const map = new NetMap(board.problem, MAP_FIGURES);
    const planner = new SweepPlanner(map);
    const pointsOf = (net: number): number[] =>
      board.truth.flatMap((each, point) => (each === net ? [point] : []));
    const [ground, other] = [pointsOf(0), pointsOf(1)] as const;
    const stray = other.pop()!;
    for (const group of [[...ground, stray], other]) {
      for (const point of group) map.join(map.netOf(group[0]!), map.netOf(point));
    }
    planner.read(stray, [other[0]!], true);
    for (let sweep = planner.next()!; sweep.why === 'again'; sweep = planner.next()!) {
      expect(sweep.hold).not.toBe(stray);
      planner.take(sweep, answerOf(board.truth, sweep));
    }
    expect(map.netOf(ground[0]!)).not.toBe(map.netOf(other[0]!));
  });

  it('narrows a row that beeped until one point is left', () => {
    const board = randomBoard(3, 6, 20);
    const map = new NetMap(board.problem, MAP_FIGURES);
    const planner = new SweepPlanner(map);
    const chip = board.problem.parts.find(({ points }) => points.length > 6)!;
    const hold = board.truth.findIndex(
      (net, point) => !chip.points.includes(point) && net === board.truth[chip.points[0]!],
    );
    const row = chip.points.slice(0, 6);
    planner.read(hold, row, true);
    for (let step = 0; step < 8; step++) {
      const sweep = planner.next()!;
      if (sweep.why === 'new') break;
      expect(sweep.hold).toBe(hold);
      planner.take(sweep, answerOf(board.truth, sweep));
    }
    expect(row.some((point) => map.netOf(point) === map.netOf(hold))).toBe(true);
  });

  it('leaves alone what no probe reaches', () => {
    const board = randomBoard(11, 6, 14);
    const map = new NetMap(board.problem, { ...MAP_FIGURES, ...PATIENT });
    map.skip(4);
    const planner = new SweepPlanner(map);
    for (let sweep = planner.next(); sweep !== undefined; sweep = planner.next()) {
      expect([sweep.hold, ...sweep.touch.flatMap(({ points }) => points)]).not.toContain(4);
      planner.take(sweep, answerOf(board.truth, sweep));
    }
    expect(map.pointsOf(map.netOf(4))).toEqual([4]);
  });
});

it('cuts the pins of a chip where its rows turn, and long rows into even pieces', () => {
  const place = (pin: number): readonly [number, number] => (pin < 8 ? [pin, 0] : [15 - pin, 10]);
  const points = Array.from({ length: 16 }, (_, pin) => ({
    name: `U1.${pin + 1}`,
    part: 0,
    role: 'leg' as const,
    at: place(pin),
  }));
  const parts = [{ name: 'U1', points: points.map((_, at) => at), isApart: false, lowOhm: [] }];
  const numbers = (from: number, to: number) =>
    Array.from({ length: to - from }, (_, k) => from + k);
  expect(rowsOf({ points, parts }, 12)).toEqual([numbers(0, 8), numbers(8, 16)]);
  expect(rowsOf({ points, parts }, 5)).toEqual([
    numbers(0, 4),
    numbers(4, 8),
    numbers(8, 12),
    numbers(12, 16),
  ]);
  expect(rowsOf({ points, parts }, 1)).toEqual([]);
});
