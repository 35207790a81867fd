import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { loadBoard } from '../../../src/board/load.ts';
import { isNotable } from '../../../src/report/picture/labels.ts';
import { layPanel, PAGE_WIDTH, type Panel } from '../../../src/report/picture/layout.ts';
import { pictureSvg } from '../../../src/report/picture/svg.ts';
import { viewPicture } from '../../../src/report/picture/view.ts';
import { factsOf, strewnRails, weigher } from './rails.ts';

type Box = Panel['labels'][number];

function overlap(a: Box, b: Box): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}

/** From the middle of a mark to the nearest spot of a box. */
function apart(mark: { readonly x: number; readonly y: number }, box: Box): number {
  const x = Math.min(Math.max(mark.x, box.x), box.x + box.width);
  const y = Math.min(Math.max(mark.y, box.y), box.y + box.height);
  return Math.hypot(mark.x - x, mark.y - y);
}

describe('the picture as a drawing', () => {
  test('keeps marks off each other, and labels off marks, labels and the edge', () => {
    fc.assert(
      fc.property(strewnRails, (facts) => {
        const view = viewPicture(facts);
        for (const side of view.sides) {
          const { marks, labels, height } = layPanel(view, side, 0);
          for (const [index, mark] of marks.entries()) {
            for (const other of marks.slice(index + 1)) {
              expect(Math.hypot(mark.x - other.x, mark.y - other.y)).toBeGreaterThan(
                mark.r + other.r,
              );
            }
            for (const label of labels) expect(apart(mark, label)).toBeGreaterThanOrEqual(mark.r);
          }
          for (const [index, label] of labels.entries()) {
            for (const other of labels.slice(index + 1)) expect(overlap(label, other)).toBe(false);
            expect(Math.min(label.x, label.y)).toBeGreaterThanOrEqual(0);
            expect(label.x + label.width).toBeLessThanOrEqual(PAGE_WIDTH);
            expect(label.y + label.height).toBeLessThanOrEqual(height);
          }
        }
      }),
    );
  });

  test('shows every place in one mark, and names what matters or gives it a letter', () => {
    fc.assert(
      fc.property(strewnRails, (facts) => {
        const view = viewPicture(facts);
        for (const side of view.sides) {
          const { marks, labels, keys } = layPanel(view, side, 0);
          const shown = marks.flatMap(({ places }) => places.map(({ name }) => name));
          expect(shown.toSorted()).toEqual(side.places.map(({ name }) => name).toSorted());
          for (const { name } of side.places.filter(isNotable)) {
            const isNamed = labels.some(({ text }) => text.startsWith(name)) || keys.has(name);
            expect(isNamed, name).toBe(true);
          }
        }
      }),
    );
  });

  test('tells every reading once, and is whole whatever the names are', () => {
    fc.assert(
      fc.property(strewnRails, (facts) => {
        const svg = pictureSvg(viewPicture(facts));
        const told = [...svg.matchAll(/\(event (\d+)/gu)].map((match) => Number(match[1]));
        expect(told.sort((a, b) => a - b)).toEqual(facts.evidence.readings.map(({ id }) => id));
        expect(svg).not.toMatch(/<(?!\/?(?:svg|title|style|rect|g|text|line|circle)\b)/u);
        expect(svg).not.toMatch(/&(?!(?:amp|lt|gt|quot|#39);)/u);
      }),
    );
  });

  test('fetches nothing and runs nothing, with names that try to', () => {
    const { board } = loadBoard(
      `board: b
rails:
  "<script>alert(1)</script>": {plus: "<b>", minus: '"onload="x'}
parts:
  '<script>': {kind: ceramic, pins: ["<b>", '"onload="x'], at: [1, 1]}
  'x]]>&#0;': {kind: ceramic, pins: ["<b>", '"onload="x'], at: [9, 9]}
`,
      'b.yaml',
    );
    const svg = pictureSvg(viewPicture(factsOf(board, ['<script>.1 <script>.2 4 mohm'])));
    expect(svg).not.toContain('<script');
    expect(svg).not.toMatch(/href|url\(|@import|onload="x"/u);
  });

  test('has a place for every figure on a board of 200 crowded parts', () => {
    const rows = Array.from(
      { length: 200 },
      (_, i) =>
        `  C${i + 1}: {kind: ceramic, pins: [P5, GND], at: [${(i % 20) * 2.4}, ${Math.floor(i / 20) * 2}]}`,
    );
    const text = `board: b\nrails:\n  logic: {plus: P5, minus: GND}\nparts:\n${rows.join('\n')}\n`;
    const { board } = loadBoard(text, 'b.yaml');
    const lines = Array.from(
      { length: 60 },
      (_, i) => `C${3 * i + 1}.1 C${3 * i + 1}.2 ${30 + i} mohm`,
    );
    const view = viewPicture(factsOf(board, lines));
    const [side] = view.sides;
    if (side === undefined) throw new Error('no side');
    const { marks, labels, keys } = layPanel(view, side, 0);
    const told = marks.flatMap((mark) => mark.told.map(({ name }) => name));
    expect(new Set(told).size).toBe(60);
    expect(labels.filter(({ isPlain }) => !isPlain).length + keys.size).toBe(60);
  });

  test('is light and dark, and says what it is', () => {
    const svg = pictureSvg(viewPicture(factsOf(weigher(), [])));
    expect(svg).toContain('prefers-color-scheme: dark');
    expect(svg).toContain('<title id="title">Rail 3.3 V in its places</title>');
  });
});
