import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { InputError } from '../../../src/board/diagnostic.ts';
import { renderDiagnostic } from '../../../src/board/frame.ts';
import { importBoard } from '../../../src/board/import/index.ts';
import type { IncludeOpener } from '../../../src/board/import/spice/deck.ts';
import type { Pieces } from '../../../src/board/import/text-lines.ts';
import { loadBoard } from '../../../src/board/load.ts';
import { netlistOf } from './netlist-text.ts';

/** A board file that loads, or a refusal that can be shown; nothing else, and in the time of a test. */
function importsOrRefuses(
  netlist: Pieces,
  bom: Pieces = 'ref,value\nR1,10k\n',
  open?: IncludeOpener,
): void {
  try {
    const { yaml, warnings } = importBoard({
      netlist: { text: netlist, file: 'n' },
      bom: { text: bom, file: 'b' },
      ...(open === undefined ? {} : { open }),
    });
    for (const each of warnings) renderDiagnostic(each);
    loadBoard(yaml, 'b.yaml');
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    expect(error.diagnostics.length).toBeGreaterThan(0);
    for (const each of error.diagnostics) renderDiagnostic(each);
  }
}

const DECK = `a deck of many things
.param r1 = 4k7 k={r1*2}
.include other.lib
V1 P24 0 DC 24
C1 P24 0 470u
MQ1 OUT GATE 0 0 NX W=1u
Q2 c b e s QX
XU1 a b c d OPX
X2 P24 a 0 piece k=3
R1 P24 a {k}
+ tc=1
R2 a 0 'k'
K1 L1 L2 0.9
L1 a b 1u
L2 b 0 1u
E1 o 0 POLY(2) a 0 b 0 1 1
.subckt piece in out ref
R1 in m 1
R2 m out 1
D1 m ref DX
.ends piece
.model NX NMOS(VTO=3
.subckt OPX p n v o
G1 o 0 p n 1
.ends
.end
`;
const LIST = `Designator;Pin;"Net name";Pin name;Value
Q1;1;"GATE ""A""";G;IRF540
Q1;2;P24;D;IRF540
R1;1;P24;;10k
R1;2;GND;;10k
C1;1;P24;+;470u
C1;2;GND;-;470u
U1;1;N/C;;
`;
const BOM =
  'Item,Qty,Refs,Value,Package,MPN\n1,2,"C1-C2",10u 50V,C_1210,\n2,1,R1,"4k7, 1%",0603,\n';
const IPC = netlistOf('Q1 G D S', 'C1 D GND', 'R1 G GND', 'U1 GND D G S');
const TEXTS = [DECK, LIST, IPC] as const;

const open: IncludeOpener = (path) => ({ file: path, pieces: DECK });

const damage = fc.array(
  fc.record({
    at: fc.nat(),
    cut: fc.nat(6),
    put: fc.oneof(
      fc.string({ maxLength: 3 }),
      fc.string({ unit: 'binary', maxLength: 2 }),
      fc.constantFrom(
        '\n+',
        '\n.subckt x a b c\n',
        '\n.ends\n',
        '{',
        '(',
        ')',
        '"',
        '=',
        '\0',
        '__proto__',
        ';',
        '\n.lib x y\n',
        '\n.endl\n',
        '-',
        '\r',
      ),
    ),
  }),
  { minLength: 1, maxLength: 10 },
);

function spoilt(
  text: string,
  changes: readonly { at: number; cut: number; put: string }[],
): string {
  return changes.reduce((all, { at, cut, put }) => {
    const place = at % (all.length + 1);
    return all.slice(0, place) + put + all.slice(place + cut);
  }, text);
}

describe('an import is not brought down', () => {
  test('by netlists and bills damaged anywhere', () => {
    fc.assert(
      fc.property(fc.constantFrom(...TEXTS), damage, damage, (text, first, second) => {
        importsOrRefuses(spoilt(text, first), spoilt(BOM, second), open);
      }),
      { numRuns: 400 },
    );
  });

  test('by netlists broken off anywhere', () => {
    for (const text of TEXTS) {
      for (let end = 0; end < text.length; end += 5) importsOrRefuses(text.slice(0, end), BOM);
    }
  });

  test('by flipped bits and any bytes, in any pieces', () => {
    const flips = fc.array(fc.tuple(fc.nat(), fc.nat(7)), { maxLength: 20 });
    fc.assert(
      fc.property(
        fc.constantFrom(...TEXTS),
        flips,
        fc.integer({ min: 1, max: 99 }),
        (text, list, size) => {
          const bytes = Buffer.from(text);
          for (const [at, bit] of list) {
            const place = at % bytes.length;
            bytes[place] = (bytes[place] ?? 0) ^ (1 << bit);
          }
          const pieces: Uint8Array[] = [];
          for (let at = 0; at < bytes.length; at += size)
            pieces.push(bytes.subarray(at, at + size));
          importsOrRefuses(pieces, BOM);
        },
      ),
      { numRuns: 200 },
    );
    fc.assert(
      fc.property(
        fc.uint8Array({ maxLength: 400 }),
        fc.uint8Array({ maxLength: 200 }),
        (one, two) => importsOrRefuses([one], [two]),
      ),
    );
  });

  test('by lines of the right words in the wrong places', () => {
    const word = fc.constantFrom(
      ...[
        'R1',
        'Q1',
        'M2',
        'X1',
        'X2',
        'V1',
        'K1',
        'E1',
        'a',
        'b',
        '0',
        'GND',
        'piece',
        'NX',
        '10k',
        '{k}',
        'k=1',
        '=',
      ],
      ...[
        '.subckt',
        '.ends',
        '.model',
        '.param',
        '.lib',
        '.include',
        '.global',
        '.end',
        '+',
        '*',
        'PARAMS:',
        'NMOS',
        '__proto__',
        'constructor',
      ],
    );
    const deck = fc.array(fc.array(word, { maxLength: 7 }), { maxLength: 20 });
    fc.assert(
      fc.property(deck, (lines) => {
        importsOrRefuses(['t', ...lines.map((line) => line.join(' '))].join('\n'), BOM, open);
      }),
      { numRuns: 400 },
    );
  });

  const times = (count: number, of: (n: number) => string): string =>
    Array.from({ length: count }, (_, n) => of(n)).join('\n');
  test.each([
    ['brackets', `t\nR1 ${'('.repeat(200_000)} b 1\nR2 ${'a(b)'.repeat(50_000)} b 1`],
    ['lines that go on', `t\nR1 a b 1\n${times(100_000, () => '+ c')}`],
    ['sums', `t\n.param a={${'1+'.repeat(100_000)}1}\nR1 a b {a}\nR2 a b {${'('.repeat(400)}}`],
    [
      'parameters of parameters',
      `t\n${times(3000, (n) => `.param p${n}={p${n + 1}*p${n + 1}+p${n + 2}}`)}\nR1 a b {p0}\nR2 a b 1`,
    ],
    ['subcircuits within subcircuits', `t\n${times(5000, (n) => `.subckt s${n} a b c`)}`],
    [
      'calls of one another',
      `t\n${times(300, (n) => `.subckt s${n} a b c\nX1 a b c s${(n + 1) % 300}\nR1 a b 1\n.ends`)}\nX1 a b c s0`,
    ],
    ['quotes', `part,pin,net\n${'"'.repeat(300_001)}`],
    ['quotes a line', `part,pin,net\n${times(5000, () => '"a""",1,"')}`],
    ['columns', `part,pin,net\n${','.repeat(300_000)}`],
    ['headings', `${'net,'.repeat(100_000)}part,pin\nA,R1,1`],
    [
      'names',
      `part,pin,net\n${'x'.repeat(300_000)},${'y'.repeat(300_000)},${'z'.repeat(300_000)}\nR1,1,${'z'.repeat(300_000)}2`,
    ],
    [
      'parts named alike',
      `part,pin,net\n${times(3000, (n) => `R1${' '.repeat(n % 3)}.${n},${n},A`)}`,
    ],
    ['long names', `${times(3000, (n) => `P  NNAME${n} ${'n'.repeat(50)}${n % 7}`)}\n${IPC}`],
    ['unknown records', `${IPC}\n${times(20_000, (n) => `${(n % 800) + 100} x`)}`],
  ])(
    'by heaps of %s, nor held up for long',
    (_, text) => {
      importsOrRefuses(text, BOM);
    },
    20_000,
  );

  test('by bills with ranges and cells beyond any', () => {
    const cells = [
      `C1-C999999999`,
      `R${'1'.repeat(400)}-R${'2'.repeat(400)}`,
      '-'.repeat(100_000),
      'R1-'.repeat(50_000),
      `${'R1 to '.repeat(40_000)}`,
    ];
    for (const cell of cells)
      importsOrRefuses(IPC, `Refs,Qty,Value\n"${cell}",${'9'.repeat(300)},10k\n`);
  }, 20_000);
});

test('names that mean something to JavaScript stay names, wherever they stand', () => {
  const odd = ['__proto__', 'constructor', 'prototype', 'toString', 'hasOwnProperty', 'valueOf'];
  for (const name of odd) {
    const list = `part,pin,net,value,package\n${name},1,${name},${name},${name}\nR1,${name},${name},1k,\nR1,2,x,1k,\n${name},2,x,,\n`;
    const deck = `t\nR${name} ${name} b 1\nX1 ${name} b c ${name}\nQ1 ${name} b c ${name}\nV1 ${name} b ${name}\n.model ${name} ${name}\n.param ${name}=${name}\nR2 ${name} b {${name}}\n`;
    for (const text of [list, deck]) {
      const { yaml } = importBoard({ netlist: { text, file: 'n' } });
      const { board } = loadBoard(yaml, 'b.yaml');
      const net = [...board.netNamed.keys()].find((each) => each.startsWith(name));
      expect(board.nets[board.netNamed.get(net ?? '')?.index ?? -1]?.pins.length).toBeGreaterThan(
        1,
      );
    }
    importsOrRefuses(IPC, `${name},value\nR1,2\n`);
    importsOrRefuses(IPC, `ref,value,${name}\n${name},${name},${name}\n`);
  }
  expect(Object.keys(Object.prototype)).toEqual([]);
});
