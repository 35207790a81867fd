import { stripVTControlCharacters } from 'node:util';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Diagnostic } from '../../src/board/diagnostic.ts';
import { renderDiagnostic, renderWithin } from '../../src/board/frame.ts';
import { SourceText } from '../../src/board/source-text.ts';

/** A diagnostic about the first place where `word` stands in `text`. */
function about(text: string, word: string, hint?: string): Diagnostic {
  const start = text.indexOf(word);
  const place = new SourceText(text, 'board.yaml').place({ start, end: start + word.length });
  const what = { code: 'UNKNOWN_NET', severity: 'error' as const, message: `no net "${word}"` };
  return { ...what, place, ...(hint === undefined ? {} : { hint }) };
}

describe('renderDiagnostic', () => {
  test('shows place, line, a caret under the whole word, and the hint', () => {
    const text = 'parts:\n  R7: {pins: [VCC_3V, GND]}\n';
    expect(renderDiagnostic(about(text, 'VCC_3V', 'did you mean "VCC_3V3"?'))).toBe(
      [
        'board.yaml:2:15: error[UNKNOWN_NET] no net "VCC_3V"',
        '   2 |   R7: {pins: [VCC_3V, GND]}',
        '     |               ^^^^^^',
        '  did you mean "VCC_3V3"?',
      ].join('\n'),
    );
  });

  test('shows the line before when the mark stands in indentation', () => {
    const lines = renderDiagnostic(about('R7:\n  ohmz: 3\n', 'ohmz')).split('\n');
    expect(lines.slice(1)).toEqual(['   1 | R7:', '   2 |   ohmz: 3', '     |   ^^^^']);
  });

  test('expands tabs, so that the caret stands where the word is seen', () => {
    const lines = renderDiagnostic(about('a:\tb\tXX\n', 'XX')).split('\n');
    expect(lines[1]?.indexOf('XX')).toBe(lines[2]?.indexOf('^^'));
  });

  test('counts wide characters as two columns and combining marks as none', () => {
    const wide = renderDiagnostic(about('名前: XX\n', 'XX')).split('\n');
    expect(wide[2]).toBe(`     | ${' '.repeat(6)}^^`);
    const combining = renderDiagnostic(about('e\u0301: XX\n', 'XX')).split('\n');
    expect(combining[2]).toBe(`     | ${' '.repeat(3)}^^`);
  });

  test('cuts long lines round the mark', () => {
    const text = `a: [${'x, '.repeat(200)}MARK${', y'.repeat(200)}]\n`;
    const lines = renderDiagnostic(about(text, 'MARK')).split('\n');
    expect(lines[1]).toMatch(/^ {3}1 \| ….*MARK.*…$/);
    expect(lines[1]?.indexOf('MARK')).toBe(lines[2]?.indexOf('^^^^'));
    expect(lines[1]?.length).toBeLessThan(110);
  });

  test('a span over several lines is marked to the end of its first', () => {
    const text = 'a: [1,\n2]\n';
    const place = new SourceText(text, 'b').place({ start: 3, end: 9 });
    expect(place).toMatchObject({ line: 1, column: 4, endColumn: 7 });
  });

  test('does without a place', () => {
    const bare: Diagnostic = { code: 'EMPTY', severity: 'warning', message: 'nothing' };
    expect(renderDiagnostic(bare)).toBe('warning[EMPTY] nothing');
  });

  test('carries no control character from the file to the screen', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), fc.nat(40), fc.nat(40), (line, at, length) => {
        const text = line.replaceAll('\n', '');
        const start = Math.min(at, text.length);
        const place = new SourceText(text, text).place({ start, end: start + length });
        const all: Diagnostic = {
          code: 'X',
          severity: 'error',
          message: text,
          hint: text,
          place: { ...place, textBefore: text },
        };
        const out = renderDiagnostic(all).replaceAll('\n', '');
        expect(out).toBe(stripVTControlCharacters(out));
        expect(out).not.toMatch(/[\p{Cc}\u202a-\u202e\u2066-\u2069]/u);
      }),
    );
  });

  test('the caret stands under the marked words of any line', () => {
    const word = fc.string({
      unit: fc.constantFrom('a', 'é', ' ', '名', '\t', ':'),
      maxLength: 150,
    });
    fc.assert(
      fc.property(word, word, (before, after) => {
        const [, line = '', caret = ''] = renderDiagnostic(about(`x${before}MARK${after}`, 'MARK'))
          .split('\n')
          .slice(-3);
        const columns = (text: string): number =>
          [...text].reduce((sum, c) => sum + (c === '名' ? 2 : 1), 0);
        expect(columns(line.slice(0, line.indexOf('MARK')))).toBe(caret.indexOf('^^^^'));
      }),
    );
  });
});

describe('SourceText', () => {
  test('finds line and column of every offset', () => {
    const lines = fc.array(fc.string({ unit: fc.constantFrom('a', 'b', ' ') }), { minLength: 1 });
    fc.assert(
      fc.property(lines, (all) => {
        const source = new SourceText(all.join('\n'), 'x');
        let offset = 0;
        all.forEach((line, i) => {
          expect(source.line(i + 1)).toBe(line);
          for (let column = 1; column <= line.length + 1; column++) {
            const place = source.place({ start: offset + column - 1, end: offset + column });
            expect([place.line, place.column]).toEqual([i + 1, column]);
          }
          offset += line.length + 1;
        });
      }),
    );
  });

  test('leaves the carriage return of a line break out of the line', () => {
    expect(new SourceText('a\r\nb\r\n', 'x').line(1)).toBe('a');
  });

  test('keeps the line and its caret to the columns there are', () => {
    const word = fc.string({ unit: fc.constantFrom('a', 'é', ' ', '名', ':'), maxLength: 150 });
    fc.assert(
      fc.property(word, word, fc.integer({ min: 50, max: 120 }), (before, after, most) => {
        const [, line = '', caret = ''] = renderWithin(
          about(`x${before}MARK${after}`, 'MARK'),
          most,
        )
          .split('\n')
          .slice(-3);
        const columns = (text: string): number =>
          [...text].reduce((sum, c) => sum + (c === '名' ? 2 : 1), 0);
        expect(Math.max(columns(line), columns(caret))).toBeLessThanOrEqual(most);
        expect(columns(line.slice(0, line.indexOf('MARK')))).toBe(caret.indexOf('^^^^'));
      }),
    );
  });
});
