import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { columnsOf } from '../../src/board/shown-text.ts';
import { GLUE, labelled, wrap } from '../../src/report/wrap.ts';

const words = fc.array(fc.string({ unit: 'grapheme', minLength: 1, maxLength: 30 }), {
  maxLength: 20,
});
const text = words.map((all) => all.map((word) => word.replace(/[\s\u00a0]/gu, 'x')).join(' '));
const width = fc.integer({ min: 10, max: 200 });

describe('wrap', () => {
  it('never makes a line wider than asked for', () => {
    fc.assert(
      fc.property(text, width, (given, columns) => {
        for (const line of wrap(given, columns))
          expect(columnsOf(line)).toBeLessThanOrEqual(columns);
      }),
    );
  });

  it('loses no character but the blanks it breaks at', () => {
    const bare = (all: string): string => all.replace(/[\s]/gu, '');
    fc.assert(
      fc.property(text, width, (given, columns) => {
        expect(bare(wrap(given, columns).join(''))).toBe(bare(given));
      }),
    );
  });

  it('keeps glued words together', () => {
    expect(wrap(`about 12${GLUE}min left`, 10)).toEqual(['about', '12 min', 'left']);
  });

  it('keeps the line breaks it is given', () => {
    expect(wrap('a\nb', 80)).toEqual(['a', 'b']);
  });
});

describe('labelled', () => {
  it('hangs the text behind the label', () => {
    expect(labelled('Why', 'one two three four', 5, 15)).toEqual([
      'Why  one two',
      '     three four',
    ]);
  });

  it('never makes a line wider than asked for, whatever the label', () => {
    const label = fc.string({ maxLength: 20, unit: 'grapheme-ascii' });
    fc.assert(
      fc.property(label, text, fc.integer({ min: 50, max: 200 }), (head, given, columns) => {
        for (const line of labelled(head, given, 12, columns)) {
          expect(columnsOf(line)).toBeLessThanOrEqual(columns);
        }
      }),
    );
  });
});
