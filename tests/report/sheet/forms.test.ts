import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { columnsOf, harmless } from '../../../src/board/shown-text.ts';
import type { Block, DrawnElement, SheetDocument } from '../../../src/report/sheet/blocks.ts';
import { sheetHtml } from '../../../src/report/sheet/html.ts';
import { layOut } from '../../../src/report/sheet/layout.ts';
import { sheetMarkdown } from '../../../src/report/sheet/markdown.ts';
import { sheetLines } from '../../../src/report/sheet/text.ts';
import { NO_COLOUR } from '../../../src/report/style.ts';
import { readMarkup } from './marked-up.ts';

/** Names as a board file or a customer may bring them. */
const hostile = fc.oneof(
  fc.string({ unit: 'binary', maxLength: 24 }),
  fc.constantFrom(
    '<script>alert(1)</script>',
    '"><img src=x onerror=alert(1)>',
    "' onload='x",
    '</style></title><b>',
    '| a | b |',
    '# not a heading',
    '![x](http://example.org/x.png)',
    '- [link](javascript:1)',
    '\u202eleft',
    '\u0000\u001b[31m',
    '&amp; &#60;',
    '1. first',
    '`code` **bold**',
  ),
);
const text = hostile.map((each) => `x${harmless(each).replace(/\s+/g, ' ').trim()}x`);
const tone = fc.constantFrom('good', 'bad', 'warn', undefined);
const cell = fc.record({ text, tone }).map(({ text: words, tone: mark }) => {
  return mark === undefined ? { text: words } : { text: words, tone: mark };
});
const element = (nets: number): fc.Arbitrary<DrawnElement> =>
  fc
    .record({
      from: fc.nat(nets - 1),
      to: fc.nat(nets - 1),
      standing: fc.constantFrom('failed', 'suspect', 'healthy', 'lifted', 'renewed'),
      lines: fc.array(text, { minLength: 1, maxLength: 3 }),
    } as const)
    .filter(({ from, to }) => from !== to);
const drawing = fc.array(text, { minLength: 2, maxLength: 6 }).chain((nets) =>
  fc.record({
    nets: fc.constant(nets),
    elements: fc.array(element(nets.length), { minLength: 1, maxLength: 8 }),
  }),
);

const block: fc.Arbitrary<Block> = fc.oneof(
  fc.record({ kind: fc.constant('heading'), level: fc.constantFrom(2, 3), text } as const),
  fc.record({ kind: fc.constant('text'), text } as const),
  fc.record({
    kind: fc.constant('list'),
    items: fc.array(text, { minLength: 1, maxLength: 12 }),
  } as const),
  fc.record({
    kind: fc.constant('facts'),
    rows: fc.array(fc.tuple(text, text), { minLength: 1, maxLength: 4 }),
  } as const),
  fc.record({
    kind: fc.constant('table'),
    caption: text,
    columns: fc.tuple(text, text, text),
    rows: fc.array(fc.tuple(cell, cell, cell), { minLength: 1, maxLength: 4 }),
  } as const),
  drawing.map((made): Block => {
    // What stands in the picture stands in words beside it.
    const says = [...made.nets, ...made.elements.flatMap(({ lines }) => lines)];
    return { kind: 'drawing', caption: 'A way', says, drawing: made };
  }),
  fc.record({ kind: fc.constant('photo'), file: text, text } as const),
  fc.record({
    kind: fc.constant('blanks'),
    labels: fc.array(text, { minLength: 1, maxLength: 2 }),
  } as const),
);
const sheet: fc.Arbitrary<SheetDocument> = fc.record({
  title: text,
  blocks: fc.array(block, { maxLength: 8 }),
});

const ELEMENTS = new Set(
  'html head meta title style body main section h1 h2 h3 p span ul li dl div dt dd table caption thead tbody tr th td figure figcaption svg line path rect circle text img'.split(
    ' ',
  ),
);

describe('the forms of a sheet', () => {
  it('write HTML that stays well-formed whatever names it holds, with nothing fetched or run', () => {
    fc.assert(
      fc.property(sheet, (one) => {
        const { elements, attributes } = readMarkup(sheetHtml(one));
        for (const name of elements) expect(ELEMENTS).toContain(name);
        for (const { name, value } of attributes) {
          expect(name).not.toMatch(/^on|^href$|^xlink/);
          if (name === 'src') expect(value).toMatch(/^data:image\//);
        }
        const ids = attributes.filter(({ name }) => name === 'id').map(({ value }) => value);
        expect(new Set(ids).size).toBe(ids.length);
        const named = attributes.filter(({ name }) => /^aria-(labelledby|describedby)$/.test(name));
        for (const { value } of named) expect(ids).toContain(value);
      }),
    );
  });

  it('say nothing in HTML that the text does not say', () => {
    fc.assert(
      fc.property(sheet, (one) => {
        const lines = sheetLines(one, { width: 100_000, palette: NO_COLOUR }).join('\n');
        const plain = (words: string): string => words.replace(/[\s\u00a0]+/g, ' ').trim();
        const said = plain(lines);
        for (const words of readMarkup(sheetHtml(one)).texts) expect(said).toContain(plain(words));
      }),
    );
  });

  it('keep names from becoming Markdown', () => {
    fc.assert(
      fc.property(sheet, (one) => {
        const lines = sheetMarkdown(one).split('\n');
        const bare = lines.map((line) => line.replace(/\\./g, ''));
        for (const line of bare) {
          expect(line).not.toMatch(/[<>`]|\]\(|!\[|~~/);
          // A pipe stands only where a table has one.
          if (line.includes('|')) expect(line).toMatch(/^\|.*\|$/);
        }
        const tables = one.blocks.filter(({ kind }) => kind === 'table').length;
        expect(bare.filter((line) => /^\|(?: --- \|)+$/.test(line))).toHaveLength(tables);
      }),
    );
  });

  it('fit the width they are laid out for', () => {
    fc.assert(
      fc.property(sheet, fc.constantFrom(50, 80, 200), (one, width) => {
        const long = sheetLines(one, { width, palette: NO_COLOUR }).filter(
          (line) => columnsOf(line) > width,
        );
        expect(long).toEqual([]);
      }),
    );
  });

  it('draw no two boxes over each other, and every wire to its own net', () => {
    fc.assert(
      fc.property(drawing, (made) => {
        const { boxes, bars, width } = layOut(made);
        boxes.forEach((one, at) => {
          for (const other of boxes.slice(at + 1)) {
            const isBeside = Math.abs(one.x - other.x) >= 156;
            expect(isBeside || one.bottom <= other.top || other.bottom <= one.top).toBe(true);
          }
          const { from, to } = one.element;
          for (const net of [from, to]) {
            const bar = bars[net];
            expect([one.top, one.bottom]).toContain(bar?.y);
            expect(bar?.x1).toBeLessThan(one.x);
            expect(bar?.x2).toBeGreaterThan(one.x);
          }
          expect(one.x + 78).toBeLessThan(width);
        });
      }),
    );
  });
});
