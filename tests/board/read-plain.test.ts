import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readPlain } from '../../src/board/read-plain.ts';
import { readYaml } from '../../src/board/read-yaml.ts';
import { SourceText } from '../../src/board/source-text.ts';

const byFullReader = (text: string): unknown => readYaml(new SourceText(text, 't.yaml'));

/** Whatever the short reader reads at all, the full reader must read alike. */
function expectAgreement(text: string): void {
  const plain = readPlain(text);
  if (plain !== undefined) expect(plain).toEqual(byFullReader(text));
}

const BOARD = `# a board
board: Test rig, 12 V   # named
revision: "3"
rails:
  bus: {plus: P12, minus: GND, volts: 12}

parts:
  Q1: {kind: n-mosfet, pins: {G: 'G 1', D: P12, S: OUT},
       # split over lines
       package: TO-220, heatsink: true,}
  R1:
    kind: resistor
    ohms: 4k7
    pins: [ P12 , GND ]
    guess:
    - kind from its letter
    -  [a]
  C1: {kind: ceramic, pins: []}
  C2:
    {
      kind: film,
    }
jumpers:
nets: {}
`;

describe('the short reader', () => {
  test('reads the plain part of YAML just as the full reader does', () => {
    expect(readPlain(BOARD)).toBeDefined();
    expectAgreement(BOARD);
  });

  test('reads the catalogue and every ready board without help', () => {
    const files = readdirSync('boards').map((name) => `boards/${name}`);
    for (const file of ['src/board/kinds.yaml', ...files.filter((f) => f.endsWith('.yaml'))]) {
      const text = readFileSync(file, 'utf8');
      expect(readPlain(text), file).toBeDefined();
      expectAgreement(text);
    }
  });

  test.each([
    ['an anchor', 'a: &x 1\nb: *x\n'],
    ['a tag', 'a: !!str 1\n'],
    ['a tab', 'a:\n\tb: 1\n'],
    ['an escape', 'a: "x\\n"\n'],
    ['a doubled quote', "a: 'it''s'\n"],
    ['a block scalar', 'a: |\n  x\n'],
    ['a scalar over two lines', 'a: x\n  y\n'],
    ['a flow scalar over two lines', 'a: [x\n  y]\n'],
    ['a second document', 'a: 1\n---\nb: 2\n'],
    ['an explicit key', '? a\n: b\n'],
    ['a pair in a list', 'a: [b: c]\n'],
    ['a map in a block list', 'a:\n  - b: c\n'],
    ['a key without a value in a flow map', 'a: {b}\n'],
    ['a colon inside a value', 'a: b: c\n'],
    ['a line that is indented too far', 'a: 1\n  b: 2\n'],
    ['a line that is indented too little', 'a:\n    b: 1\n  c: 2\n'],
    ['a bracket left open', 'a: [b\n'],
    ['a comment without a space before it', 'a: "b"#c\n'],
    ['a closing bracket at the left margin', 'a: [b\n]\n'],
    ['a bare word', 'a\n'],
    ['nothing', ''],
  ])('leaves %s to the full reader', (_, text) => {
    expect(readPlain(text)).toBeUndefined();
  });

  test('agrees with the full reader on mutated boards', () => {
    const pieces = [
      ...' :,[]{}#-\'"\n?&*!|>%@`~\\'.split(''),
      '\n  ',
      ': ',
      ' #',
      '- ',
      '\n- ',
      '---',
      'é',
      '\t',
      '\r\n',
      '\u00a0',
      'a: b',
      '{}',
    ];
    const edit = fc.record({
      at: fc.nat(BOARD.length),
      cut: fc.nat(4),
      put: fc.constantFrom(...pieces),
    });
    const edited = fc
      .array(edit, { minLength: 1, maxLength: 4 })
      .map((edits) =>
        edits.reduce(
          (text, { at, cut, put }) => text.slice(0, at) + put + text.slice(at + cut),
          BOARD,
        ),
      );
    fc.assert(fc.property(edited, expectAgreement), { numRuns: 1500 });
  });

  test('agrees with the full reader on any small heap of marks', () => {
    const mark = fc.constantFrom(
      'a',
      'b1',
      ':',
      ': ',
      ' ',
      '  ',
      '\n',
      '\n  ',
      '\n    ',
      '- ',
      '[',
      ']',
      '{',
      '}',
      ',',
      ', ',
      '#',
      ' # c',
      '"',
      "'",
      '"q"',
      '-',
      '?',
      '.',
      '~',
      'x: y',
      '\n- ',
      '|',
      '&a',
      '*a',
      '!t',
    );
    const heap = fc.array(mark, { maxLength: 14 }).map((marks) => marks.join(''));
    fc.assert(fc.property(heap, expectAgreement), { numRuns: 4000 });
  });

  test('agrees on long flow maps', () => {
    const text = `a: {${Array.from({ length: 3000 }, (_, i) => `k${i}: v${i}`).join(', ')}}\n`;
    expectAgreement(text);
  });
});
