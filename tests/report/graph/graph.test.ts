import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { InputError } from '../../../src/board/diagnostic.ts';
import { loadBoard } from '../../../src/board/load.ts';
import type { Board } from '../../../src/board/model.ts';
import { type GraphLayout, layGraph } from '../../../src/report/graph/layout.ts';
import type { GraphView } from '../../../src/report/graph/model.ts';
import { neighbourhood, type Seed, seedNamed } from '../../../src/report/graph/near.ts';
import { powerSide } from '../../../src/report/graph/power-side.ts';
import type { Box } from '../../../src/report/graph/route.ts';
import { graphSvg } from '../../../src/report/graph/svg.ts';
import { viewGraph } from '../../../src/report/graph/view.ts';
import { readMarkup } from '../sheet/marked-up.ts';
import { anyBoards } from './boards.ts';

const shipped = readdirSync('boards').map(
  (file) => loadBoard(readFileSync(`boards/${file}`, 'utf8'), file).board,
);

const views: fc.Arbitrary<{ board: Board; seed: Seed | undefined; view: GraphView }> = anyBoards
  .chain((board) =>
    fc.record({
      board: fc.constant(board),
      seed: fc.option(
        fc.oneof(
          fc.integer({ min: 0, max: board.parts.length - 1 }).map((part) => ({ part })),
          fc.integer({ min: 0, max: board.nets.length - 1 }).map((net) => ({ net })),
        ),
        { nil: undefined },
      ),
    }),
  )
  .map(({ board, seed }) => ({ board, seed, view: viewGraph(board, seed) }));

/** Boxes, bars and labels a drawing consists of, by what they are. */
function pieces(laid: GraphLayout): (Box & { readonly is: string })[] {
  return [
    ...laid.nets.map((each) => ({ ...each, is: `net ${each.net.name}` })),
    ...laid.boxes.map((each) => ({ ...each, is: `box ${each.box.parts}` })),
    ...laid.lines.flatMap(({ label }) =>
      label === undefined ? [] : [{ ...label, is: `label ${label.text}` }],
    ),
  ];
}

const HAIR = 0.01;

function overlap(a: Box, b: Box): boolean {
  const wide = (a.width + b.width) / 2 - Math.abs(a.x - b.x);
  const high = (a.height + b.height) / 2 - Math.abs(a.y - b.y);
  return wide > HAIR && high > HAIR;
}

/** True when a straight stretch passes through the inside of a box (Liang and Barsky's clipping). */
function crosses(from: { x: number; y: number }, to: { x: number; y: number }, box: Box): boolean {
  let [enter, leave] = [0, 1];
  for (const [start, step, middle, half] of [
    [from.x, to.x - from.x, box.x, box.width / 2 - HAIR],
    [from.y, to.y - from.y, box.y, box.height / 2 - HAIR],
  ] as const) {
    if (step === 0) {
      if (Math.abs(start - middle) >= half) return false;
      continue;
    }
    const ends = [(middle - half - start) / step, (middle + half - start) / step];
    enter = Math.max(enter, Math.min(...ends));
    leave = Math.min(leave, Math.max(...ends));
  }
  return leave - enter > 1e-9;
}

function expectClear(view: GraphView): void {
  const laid = layGraph(view);
  const all = pieces(laid);
  for (const [index, piece] of all.entries()) {
    expect(piece.x - piece.width / 2, piece.is).toBeGreaterThanOrEqual(-HAIR);
    expect(piece.y - piece.height / 2, piece.is).toBeGreaterThanOrEqual(-HAIR);
    expect(piece.x + piece.width / 2, piece.is).toBeLessThanOrEqual(laid.width + HAIR);
    expect(piece.y + piece.height / 2, piece.is).toBeLessThanOrEqual(laid.height + HAIR);
    for (const other of all.slice(index + 1)) {
      expect(overlap(piece, other), `${piece.is} over ${other.is}`).toBe(false);
    }
  }
  const solid = [...laid.nets, ...laid.boxes];
  for (const { points } of laid.lines) {
    for (const [i, to] of points.entries()) {
      const from = points[i - 1];
      if (from === undefined) continue;
      for (const box of solid) expect(crosses(from, to, box)).toBe(false);
    }
  }
}

describe('a board as a graph', () => {
  test('keeps boxes, bars and labels off each other and on the page, and lines off boxes', () => {
    fc.assert(fc.property(views, ({ view }) => expectClear(view)));
    for (const board of shipped) expectClear(viewGraph(board));
    for (const board of shipped) expectClear(viewGraph(board, { part: 5 }));
  });

  test('draws every part it is about in one box, every net as one bar at most', () => {
    fc.assert(
      fc.property(views, ({ board, seed, view }) => {
        const { parts, nets } = seed === undefined ? powerSide(board) : neighbourhood(board, seed);
        const drawn = view.boxes.flatMap((box) => box.parts);
        const due = [...parts].map((part) => board.parts[part]?.name ?? '');
        expect(drawn.toSorted()).toEqual(due.toSorted());
        const bars = view.nets.map(({ id }) => id);
        expect(new Set(bars).size).toBe(bars.length);
        for (const bar of bars) expect(nets.has(bar)).toBe(true);
        expect(view.left.parts).toBe(board.parts.length - drawn.length);
      }),
    );
  });

  test('joins a box to each net of its parts, by a line or by name', () => {
    fc.assert(
      fc.property(views, ({ board, view }) => {
        for (const { id, parts, named } of view.boxes) {
          const joined = view.lines.filter(({ box }) => box === id).map(({ net }) => net);
          expect(new Set(joined).size).toBe(joined.length);
          const isCut = named.some((text) => /^and \d+ nets? more$/.test(text));
          const told = joined.length + named.length;
          for (const name of parts) {
            const part = board.partNamed.get(name);
            const nets = new Set(part?.pins.map((pin) => board.pins[pin]?.net ?? -1));
            for (const net of joined) expect(nets.has(net)).toBe(true);
            const isWhole = view.near !== undefined;
            if (isWhole && !isCut) expect(told).toBe(nets.size);
          }
        }
      }),
    );
  });

  test('draws what was asked for, and marks it', () => {
    fc.assert(
      fc.property(views, ({ board, seed, view }) => {
        const asked = [...view.boxes, ...view.nets].filter((each) => each.asked);
        expect(asked).toHaveLength(seed === undefined ? 0 : 1);
        if (seed !== undefined && 'part' in seed) {
          expect(asked[0]).toMatchObject({ parts: [board.parts[seed.part]?.name] });
        }
      }),
    );
  });

  test('is well-formed and tells every name, whatever names the board has', () => {
    fc.assert(
      fc.property(views, ({ view }) => {
        const svg = graphSvg(view);
        const { elements, texts } = readMarkup(svg);
        expect(new Set(elements)).toEqual(
          new Set(
            [...elements].filter((name) => /^(svg|title|style|rect|text|g|polyline)$/.test(name)),
          ),
        );
        const told = texts.join('').replace(/\s/g, '');
        for (const { name } of view.nets) expect(told).toContain(name);
      }),
      { numRuns: 40 },
    );
  });

  test('of the shipped boards has every rail, and every jumper in a box of its own', () => {
    for (const board of shipped) {
      const view = viewGraph(board);
      const told = JSON.stringify(view);
      for (const { plus } of board.rails) expect(told).toContain(board.nets[plus]?.name);
      const jumpers = board.parts.filter(({ kind }) => kind.link).map(({ name }) => [name]);
      const drawn = view.boxes.filter(({ what }) => what === 'jumper').map(({ parts }) => parts);
      expect(drawn.toSorted()).toEqual(jumpers.toSorted());
    }
  });
});

describe('a board that is too large', () => {
  const rows = Array.from({ length: 130 }, (_, i) => `  U${i}: {kind: ic, pins: {1: P5, 2: GND}}`);
  const { board } = loadBoard(
    ['board: wide', 'rails: {main: {plus: P5, minus: GND}}', 'parts:', ...rows].join('\n'),
    'wide',
  );

  test('is refused, with what to ask for instead', () => {
    expect(() => viewGraph(board)).toThrow(InputError);
    expect(() => viewGraph(board)).toThrow(/130 boxes/);
  });

  test('is drawn round one of its parts', () => {
    const view = viewGraph(board, seedNamed(board, 'u7'));
    expect(view.boxes.map(({ parts }) => parts)).toContainEqual(['U7']);
  });
});
