import { expect, test } from 'vitest';
import { InputError } from '../../../src/board/diagnostic.ts';
import { importBoard } from '../../../src/board/import/index.ts';
import type { Netlist } from '../../../src/board/import/netlist.ts';
import { DeckReader, type IncludeOpener } from '../../../src/board/import/spice/deck.ts';
import { readLines } from '../../../src/board/import/text-lines.ts';
import { loadBoard } from '../../../src/board/load.ts';

const read = (...lines: string[]): Netlist => readWith(undefined, ...lines);

function readWith(open: IncludeOpener | undefined, ...lines: string[]): Netlist {
  return readLines(['a title', ...lines].join('\n'), 'd.cir', new DeckReader('d.cir', open));
}

/** `R1 1:A 2:B` for each part. */
function partsOf(netlist: Netlist): string[] {
  return netlist.parts.map(
    ({ name, pins }) => `${name} ${pins.map((pin) => `${pin.name}:${pin.net}`).join(' ')}`,
  );
}

const codes = (netlist: Netlist): string[] => netlist.warnings.map(({ code }) => code);

function refusal(...lines: string[]): { code?: string; line?: number; column?: number } {
  try {
    read(...lines);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    const [first] = error.diagnostics;
    return {
      code: first?.code ?? '',
      line: first?.place?.line ?? 0,
      column: first?.place?.column ?? 0,
    };
  }
  return {};
}

test.each([
  ['R1 a b 10k', 'R1 1:a 2:b'],
  ['C1 a 0 100n IC=0', 'C1 1:a 2:GND'],
  ['L1 a gnd 10u Rser=1m', 'L1 1:a 2:GND'],
  ['D1 a k 1N4148', 'D1 A:a K:k'],
  ['Q1 c b e QX', 'Q1 C:c B:b E:e'],
  ['M1 d g s NX', 'M1 D:d G:g S:s'],
  ['M1 d g s s NX W=1u L=1u', 'M1 D:d G:g S:s'],
  ['J1 d g s JX', 'J1 D:d G:g S:s'],
  ['V1 p 0 DC 12', 'V1 +:p -:GND'],
  ['I1 p 0 1m', 'I1 +:p -:GND'],
  ['E1 o 0 a b 10', 'E1 +:o -:GND control+:a control-:b'],
  ['E1 o 0 VALUE={V(a)}', 'E1 +:o -:GND'],
  ['S1 a b c 0 SW', 'S1 +:a -:b control+:c control-:GND'],
  ['T1 a 0 b 0 Z0=50', 'T1 1:a 2:GND 3:b 4:GND'],
  ['X1 a b c THING', 'X1 1:a 2:b 3:c'],
  ['X1 a b c THING gain=3 PARAMS: k=1', 'X1 1:a 2:b 3:c'],
])('%s joins what it names', (line, part) => {
  expect(partsOf(read(line))).toEqual([part]);
});

test('blanks, commas and brackets part words; names may hold closed brackets', () => {
  expect(partsOf(read('R1 (a,b) 1k', 'Q1(c b e) QX', 'R2 Net-(R1-Pad1)   b 1k'))).toEqual([
    'R1 1:a 2:b',
    'Q1 C:c B:b E:e',
    'R2 1:Net-(R1-Pad1) 2:b',
  ]);
});

test('upper and lower case are one, in nodes, models and elements; 00 is not 0', () => {
  const netlist = read('r1 VCC Gnd 1k', 'R2 vcc 00 1k', 'q1 C B E qx', '.MODEL QX PNP');
  expect(partsOf(netlist)).toEqual(['r1 1:VCC 2:GND', 'R2 1:VCC 2:00', 'q1 C:C B:B E:E']);
  expect(netlist.parts[2]?.told).toBe('pnp');
});

test('lines go on with +, past comments and blank lines, and end at ; or a lone $', () => {
  const netlist = read(
    'R1 a',
    '* between',
    '',
    '  + b ; to the right',
    '+ 1k $ and more',
    'R2 $N_1 b 1k',
  );
  expect(partsOf(netlist)).toEqual(['R1 1:a 2:b', 'R2 1:$N_1 2:b']);
  expect(netlist.parts[0]?.value).toBe('1k');
});

test('the first line is a title, also when it reads like a part, which is said', () => {
  const netlist = readLines('R1 a b 1k\nR2 a b 1k', 'd', new DeckReader('d'));
  expect(partsOf(netlist)).toEqual(['R2 1:a 2:b']);
  expect(codes(netlist)).toEqual(['TITLE_LIKE_PART']);
});

test.each([
  ['1M', '1m'],
  ['1MEG', '1M'],
  ['10megohm', '10M'],
  ['4K7', '4.7k'],
  ['2R2', '2.2'],
  ['0.005', '5m'],
  ['1e3', '1k'],
  ['{2*base + 1k}', '5k'],
  ["'base'", '2k'],
  ['base', '2k'],
  ['R=3k', '3k'],
  ['RMOD 47', '47'],
])('a resistor of %s has %s ohms', (value, ohms) => {
  expect(read('.param base = 2k', `R1 a b ${value}`).parts[0]?.value).toBe(ohms);
});

test.each([
  ['10uF', '10u'],
  ['1F', '0.001p'],
  ['100nF', '100n'],
  ['C=2.2u', '2.2u'],
])('a capacitor of %s has %s farads', (value, farads) => {
  expect(read(`C1 a b ${value}`).parts[0]?.value).toBe(farads);
});

test('a parameter that stands on itself, or on too much, leaves the value open', () => {
  const growing = Array.from({ length: 60 }, (_, n) => `.param p${n}={p${n + 1}+p${n + 1}}`);
  const netlist = read('.param a={b} b={a}', ...growing, 'R1 x y {a}', 'R2 x y {p0}');
  expect(netlist.parts.map(({ value }) => value)).toEqual(['{a}', '{p0}']);
});

test('the optional fourth node is told by the models of the deck', () => {
  const netlist = read(
    '.model Q4 NPN',
    '.model N3 VDMOS pchan',
    'Q1 c b e s Q4',
    'Q2 c b e Q4 2',
    'M1 d g s N3 m=1',
  );
  expect(partsOf(netlist)).toEqual(['Q1 C:c B:b E:e', 'Q2 C:c B:b E:e', 'M1 D:d G:g S:s']);
  expect(netlist.parts.map(({ told }) => told)).toEqual(['npn', 'npn', 'p-mosfet']);
});

test('numbers of parts come out of the names of models', () => {
  const netlist = read('D1 a k D1N4148', 'Q1 c b e Q2N3904', 'D2 a k DMOD');
  expect(netlist.parts.map(({ value }) => value)).toEqual(['1N4148', '2N3904', 'DMOD']);
});

test('a body away from the source is told of, and no leg', () => {
  const netlist = read('.model NX NMOS', 'M1 d g s 0 NX', 'M2 d g s s NX');
  expect(partsOf(netlist)).toEqual(['M1 D:d G:g S:s', 'M2 D:d G:g S:s']);
  expect(netlist.warnings.map(({ message }) => message)).toEqual([
    'body or substrate left out, being no leg of a part: M1',
  ]);
});

test('designators within the names of elements come out where they are free', () => {
  const netlist = read(
    'XU1 a b OPX',
    'MQ3 d g s NX',
    'RR4 a b 1',
    'RS1 a b 1',
    'XQ7 a b c NX',
    'Q7 c b e QX',
  );
  expect(netlist.parts.map(({ name }) => name)).toEqual(['U1', 'Q3', 'R4', 'RS1', 'XQ7', 'Q7']);
});

const FILTER = [
  '.subckt filter in out g',
  'R1 in mid 10',
  'C1 mid g 1u',
  'L1 mid out 1u',
  '.ends filter',
];

test('a subcircuit of parts is a piece of the board: flattened, its nets its own', () => {
  const netlist = read('X1 a b 0 filter', 'X2 b c 0 FILTER', ...FILTER);
  expect(partsOf(netlist)).toEqual([
    'X1_R1 1:a 2:X1/mid',
    'X1_C1 1:X1/mid 2:GND',
    'X1_L1 1:X1/mid 2:b',
    'X2_R1 1:b 2:X2/mid',
    'X2_C1 1:X2/mid 2:GND',
    'X2_L1 1:X2/mid 2:c',
  ]);
  expect(codes(netlist)).toEqual(['PIECE_OF_BOARD']);
});

test('pieces lie within pieces, and global nodes pass through', () => {
  const netlist = read(
    '.global vcc',
    'X1 a b outer',
    ...['.subckt outer in out', 'X1 in out vcc filter', 'R9 in out vcc', '.ends'],
    ...FILTER,
  );
  expect(partsOf(netlist)).toEqual(['X1 in:a out:b']);
  const three = read(
    '.global vcc',
    'X1 a b c outer',
    '.subckt outer in out x',
    'XF in out vcc filter',
    'R9 in mid 5',
    '.ends',
    ...FILTER,
  );
  expect(partsOf(three)).toEqual([
    'X1_XF_R1 1:a 2:X1_XF/mid',
    'X1_XF_C1 1:X1_XF/mid 2:vcc',
    'X1_XF_L1 1:X1_XF/mid 2:b',
    'X1_R9 1:a 2:X1/mid',
  ]);
});

test.each([
  ['controlled sources', ['.subckt amp p n o', 'E1 o 0 p n 1e5', 'R1 p n 1MEG', '.ends']],
  ['models of its own', ['.subckt amp p n o', 'D1 p n DX', 'R1 n o 1', '.model DX D', '.ends']],
  ['parameters', ['.subckt amp p n o k=3', 'R1 p n 1', 'R2 n o 1', '.ends']],
  ['figures no part has', ['.subckt amp p n o', 'R1 p n 1e12', 'C1 n o 1u', '.ends']],
  ['sizes of a chip', ['.subckt amp p n o', 'M1 p n o o NX W=1u L=1u', '.ends']],
  ['nothing in it', ['.subckt amp p n o', '.ends']],
])('a subcircuit with %s is one part with its ports for pins', (_, lines) => {
  const netlist = read('X1 a b c amp', ...lines);
  expect(partsOf(netlist)).toEqual(['X1 p:a n:b o:c']);
});

test('a subcircuit called by the designator of a part is one', () => {
  expect(partsOf(read('XU4 a b 0 filter', ...FILTER))).toEqual(['U4 in:a out:b g:GND']);
});

test('legs of a transistor model come from its ports by name, else by custom with a doubt', () => {
  const named = read(
    'XQ1 a b c IRF540',
    '.subckt IRF540 drain gate source',
    'R1 drain source 1e12',
    '.ends',
  );
  expect(partsOf(named)).toEqual(['Q1 D:a G:b S:c']);
  expect(named.parts[0]?.doubts).toBeUndefined();
  const numbered = read('XQ1 a b c IRF540', '.subckt IRF540 1 2 3', 'R1 1 3 1e12', '.ends');
  expect(partsOf(numbered)).toEqual(['Q1 D:a G:b S:c']);
  expect(numbered.parts[0]?.doubts?.[0]).toContain('the usual order');
});

test.each([
  ['too few nodes', ['R1 a'], 'TOO_FEW_NODES', 2, 1],
  ['a call with other nodes than ports', ['X1 a b filter', ...FILTER], 'WRONG_NODES', 2, 1],
  ['no .ends', ['.subckt x a b', 'R1 a b 1'], 'NO_ENDS', 2, 1],
  ['a stray .ends', ['R1 a b 1', ' .ends'], 'STRAY_ENDS', 3, 2],
  ['.ends of another', ['.subckt x a b', '.ends y'], 'STRAY_ENDS', 3, 7],
  ['a port twice', ['.subckt x a b A', 'R1 a b 1', '.ends'], 'PORT_TWICE', 2, 15],
  [
    'a piece within itself',
    ['X1 a b c loop', '.subckt loop a b c', 'R1 a b 1', 'X2 a b c loop', '.ends'],
    'CALLS_ITSELF',
    5,
    1,
  ],
])('%s is refused, with its place', (_, lines, code, line, column) => {
  expect(refusal(...lines)).toEqual({ code, line, column });
});

test('pieces that multiply are refused before memory runs out', () => {
  const levels = Array.from({ length: 12 }, (_, n) => [
    `.subckt l${n} a b c`,
    ...Array.from({ length: 10 }, (__, k) => (n === 0 ? `R${k} a b 1` : `X${k} a b c l${n - 1}`)),
    '.ends',
  ]);
  expect(refusal('X1 a b c l11', ...levels.flat()).code).toBe('TOO_MANY');
});

test('lines repeated word for word are one part; two parts of one name are both kept', () => {
  const netlist = read('R1 a b 1k', 'r1 A b 1K', 'R1 c d 2k');
  expect(partsOf(netlist)).toEqual(['R1 1:a 2:b', 'R1_2 1:c 2:d']);
  expect(codes(netlist)).toEqual(['REPEATED', 'SAME_NAME']);
});

test('commands of a simulator are no parts, and nothing counts behind .end', () => {
  const netlist = read(
    '.control',
    'run',
    'plot v(a)',
    '.endc',
    'R1 a b 1',
    '.tran 1u 1m',
    '.end',
    'R2 a b 1',
  );
  expect(partsOf(netlist)).toEqual(['R1 1:a 2:b']);
  expect(codes(netlist)).toEqual(['AFTER_END']);
});

test('files are included by their opener, with sections of libraries', () => {
  const files: Record<string, string> = {
    'models.lib': 'R8 x y 1\n.lib fast\n.model QX PNP\n.endl\n.lib slow\n.model QX NPN\n.endl\n',
    'more.inc': '* no title here\nR2 a b 1k\n.include "models.lib"\n',
  };
  const open: IncludeOpener = (path) => {
    const text = files[path];
    return text === undefined ? { refused: 'it is not there' } : { file: path, pieces: text };
  };
  const netlist = readWith(
    open,
    '.lib models.lib slow',
    '.inc more.inc',
    '.inc gone',
    'Q1 c b e QX',
  );
  expect(netlist.parts.map(({ name }) => name)).toEqual(['R2', 'R8', 'Q1']);
  expect(netlist.parts[2]?.told).toBe('npn');
  expect(netlist.warnings[0]?.message).toBe('.inc "gone" is not read: it is not there');
});

test('a file that includes itself comes to an end', () => {
  const open: IncludeOpener = (path) => ({ file: path, pieces: `.inc ${path}\n.inc ${path}\n` });
  expect(codes(readWith(open, '.inc a', 'R1 a b 1'))).toContain('NOT_INCLUDED');
});

test('the board of a deck loads, feeds become rails, and what was guessed says so', () => {
  const text = [
    't',
    'V1 IN 0 24',
    'C1 IN 0 10u',
    'R1 IN 0 1k',
    'VM IN OUT 0',
    'L1 IN X 1u',
    'L2 X 0 1u',
    'K1 L1 L2 0.99',
    'J1 OUT X 0 JX',
  ].join('\n');
  const { yaml } = importBoard({ netlist: { text, file: 'd.cir' } });
  const { board } = loadBoard(yaml, 'b.yaml');
  const kindOf = (name: string): string | undefined => board.partNamed.get(name)?.kind.name;
  expect(['V1', 'VM', 'J1', 'L1'].map(kindOf)).toEqual([
    'connector',
    'jumper',
    'unknown',
    'inductor',
  ]);
  expect(yaml).toContain('volts: 24} # V1 feeds it with 24 V');
  expect(board.partNamed.get('L1')?.guesses).toEqual([
    'K1 winds it with L2: one transformer on the board',
  ]);
  expect(board.partNamed.get('VM')?.guesses).toHaveLength(1);
});
