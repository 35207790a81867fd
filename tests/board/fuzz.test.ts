import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { InputError } from '../../src/board/diagnostic.ts';
import { renderDiagnostic } from '../../src/board/frame.ts';
import { loadBoard } from '../../src/board/load.ts';

/** Loads a text that may be anything: a board, or errors with a place each, and nothing else. */
function expectBoardOrErrors(text: string): void {
  try {
    loadBoard(text, 'x.yaml');
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    expect(error.diagnostics.length).toBeGreaterThan(0);
    for (const d of error.diagnostics) {
      expect(d.severity).toBe('error');
      expect(d.place?.line).toBeGreaterThan(0);
      renderDiagnostic(d);
    }
  }
}

function millisecondsFor(text: string): number {
  const start = performance.now();
  expectBoardOrErrors(text);
  return performance.now() - start;
}

const READY = readFileSync('boards/bench-flyback.yaml', 'utf8');

describe('loadBoard is not brought down', () => {
  test('by any text', () => {
    fc.assert(fc.property(fc.string({ unit: 'binary', maxLength: 200 }), expectBoardOrErrors));
  });

  test('by any bytes read as UTF-8', () => {
    const bytes = fc.uint8Array({ maxLength: 300 });
    fc.assert(fc.property(bytes, (b) => expectBoardOrErrors(Buffer.from(b).toString('utf8'))));
  });

  test('by a ready board with pieces cut out, put in or moved about', () => {
    const mark = fc.oneof(
      fc.constantFrom('{', '}', '[', ']', ':', ',', '\n', '\t', '*a', '&a', '!t', '"', "'", '- '),
      fc.constantFrom('__proto__', 'parts:', '<<', '\0', '\ufeff', '|', '>', '%', '---\n'),
      fc.string({ maxLength: 3 }),
    );
    const edit = fc.record({ at: fc.nat(READY.length), cut: fc.nat(60), put: mark });
    fc.assert(
      fc.property(fc.array(edit, { minLength: 1, maxLength: 6 }), (edits) => {
        const text = edits.reduce(
          (all, { at, cut, put }) => all.slice(0, at) + put + all.slice(at + cut),
          READY,
        );
        expectBoardOrErrors(text);
      }),
      { numRuns: 60 },
    );
  });

  test('by a ready board broken off anywhere', () => {
    fc.assert(
      fc.property(fc.nat(READY.length), (at) => expectBoardOrErrors(READY.slice(0, at))),
      { numRuns: 40 },
    );
  });

  test('by documents of the right words in the wrong places', () => {
    const word = fc.constantFrom(
      ...[
        'board',
        'parts',
        'jumpers',
        'nets',
        'rails',
        'kinds',
        'kind',
        'pins',
        'resistor',
        'ohms',
      ],
      ...['points', 'windings', 'pin-at', 'at', 'R1', 'GND', '1', '4k7', 'true', '', '__proto__'],
    );
    const { tree } = fc.letrec<{ tree: unknown }>((tie) => ({
      tree: fc.oneof(
        { depthSize: 'small', withCrossShrink: true },
        word,
        fc.array(tie('tree'), { maxLength: 3 }),
        fc.dictionary(word, tie('tree'), { maxKeys: 5 }),
      ),
    }));
    // JSON is YAML.
    fc.assert(
      fc.property(tree, (value) => expectBoardOrErrors(JSON.stringify(value) ?? '')),
      {
        numRuns: 600,
      },
    );
  });

  test.each([
    ['brackets', '['.repeat(100_000)],
    ['braces', '{'.repeat(100_000)],
    ['flow maps', '{a: '.repeat(30_000)],
    ['dashes', '- '.repeat(50_000)],
    ['question marks', '? '.repeat(50_000)],
    ['tags', '!a '.repeat(20_000)],
    ['quotes', '"'.repeat(50_000)],
    ['deep blocks', Array.from({ length: 500 }, (_, i) => `${' '.repeat(i)}a:`).join('\n')],
    ['a long line', `board: ${'x'.repeat(1_000_000)}`],
    ['a thousand unknown keys', Array.from({ length: 1000 }, (_, i) => `key${i}: 1`).join('\n')],
  ])('by heaps of %s, nor held up for long', (_, text) => {
    expect(millisecondsFor(text)).toBeLessThan(5000);
  });

  // At the end of the stack Node may not throw but stop dead, so none of these may get there.
  test.each([
    ['lists', '[', ']'],
    ['maps', '{a: ', '}'],
    ['lists of maps', '[{a: ', '}]'],
    ['keys', '? ', ''],
    ['items', '- ', ''],
  ])('by %s nested a hundred deep and more, which it refuses in words', (_, open, close) => {
    for (const depth of [105, 1000, 20_000]) {
      const text = `board: b\nparts: ${open.repeat(depth)}x${close.repeat(depth)}\n`;
      expect(() => loadBoard(text, 'x.yaml')).toThrow(/nested too deeply|not valid YAML/);
    }
  });

  test('by a file beyond any board', () => {
    const codes = (() => {
      try {
        loadBoard('#'.repeat(33e6), 'x');
      } catch (error) {
        if (error instanceof InputError) return error.diagnostics.map((d) => d.code);
        throw error;
      }
      return [];
    })();
    expect(codes).toEqual(['TOO_BIG']);
  });

  test('by aliases that multiply', () => {
    const layers = ['a0: &a0 [x, x, x, x, x, x, x, x, x]'];
    for (let i = 1; i < 12; i++) layers.push(`a${i}: &a${i} [${`*a${i - 1}, `.repeat(9)}]`);
    const text = `board: b\nparts:\n  ${layers.join('\n  ')}\n`;
    expect(millisecondsFor(text)).toBeLessThan(2000);
  });

  test('by an alias to itself', () => {
    expectBoardOrErrors('board: &b\n  parts: *b\n');
  });

  test('by names that mean something to JavaScript', () => {
    const text = `board: b
parts:
  hasOwnProperty: {kind: resistor, ohms: 1, pins: [valueOf, toString]}
nets: {toString: {points: [hasOwnProperty]}}
rails: {isPrototypeOf: {plus: valueOf, minus: toString}}
`;
    const { board } = loadBoard(text, 'x');
    expect(board.netNamed.get('valueOf')?.pins).toEqual([0]);
    expect(board.netNamed.get('hasOwnProperty')).toBeUndefined();
    expectBoardOrErrors('{"__proto__": {"board": "x"}, "constructor": 1}');
    expect(Object.keys(Object.prototype)).toEqual([]);
  });

  test('by size: a thousand parts with four thousand pins load in well under a second', () => {
    const part = (i: number): string =>
      `  U${i}: {kind: ic, at: [${i}, 5], pins: {1: N${i % 300}, 2: N${(i * 7) % 300}, 3: N${(i * 3) % 300}, 4: GND}}\n`;
    const text = `board: b\nparts:\n${Array.from({ length: 1000 }, (_, i) => part(i)).join('')}`;
    loadBoard(text, 'warm-up');
    expect(millisecondsFor(text)).toBeLessThan(500);
  });
});
