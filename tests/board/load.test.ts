import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { type Diagnostic, InputError } from '../../src/board/diagnostic.ts';
import { loadBoard } from '../../src/board/load.ts';
import type { Board } from '../../src/board/model.ts';

const GOOD = `board: Chain-hoist drive
revision: "3"
rails:
  bus: {plus: P48, minus: GND, volts: 48}
parts:
  Q1: {kind: n-mosfet, pins: {gate: HG_U, D: P48, S: OUT_U}, package: TO-247, heatsink: true, bank: upper U}
  R9: {kind: resistor, ohms: 0.005, tolerance: 1%, pins: [OUT_U, GND]}
  C2: {kind: electrolytic, farads: 470u, volts: 63, pins: {plus: P48, minus: GND}, at: [41.0, -12.5], side: top}
  T1: {kind: transformer, pins: {1: P48, 2: OUT_U, 3: SEC, 4: GND}, windings: {primary: {pins: [1, 2], ohms: 0.6}}}
  R1: {kind: resistor, ohms: 10k, pins: [HG_U, GND], pin-at: {1: [1, 2]}, fails-first: true, guess: [kind]}
  U1: {kind: ic, pins: {8: P48, 4: GND, 1: SEC}, heatsink: rear, part-number: 4093, text: "7"}
jumpers:
  W3: [P48, P48_FAN]
  W4: {nets: [P48_FAN, SEC], at: [3, 4], package: 1206}
nets:
  GND: {points: [J1.2, R9.2, TP4]}
kinds: {}
`;

function load(text: string): Board {
  return loadBoard(text, 'board.yaml').board;
}

function errorsOf(text: string): readonly Diagnostic[] {
  try {
    loadBoard(text, 'board.yaml');
  } catch (error) {
    if (error instanceof InputError) return error.diagnostics;
    throw error;
  }
  return [];
}

/** Errors as `line:column CODE`. */
function whereOf(text: string): string[] {
  return errorsOf(text).map((d) => `${d.place?.line}:${d.place?.column} ${d.code}`);
}

const withPart = (part: string): string =>
  `board: b\nparts:\n  R0: {kind: resistor, ohms: 1, pins: [A1, B1]}\n  ${part}\n`;

describe('loadBoard on a good file', () => {
  const board = load(GOOD);
  const pinNames = (part: string): (string | undefined)[] =>
    (board.partNamed.get(part)?.pins ?? []).map((pin) => board.pins[pin]?.name);
  const netsOf = (part: string): (string | undefined)[] =>
    (board.partNamed.get(part)?.pins ?? []).map((p) => board.nets[board.pins[p]?.net ?? -1]?.name);

  test('numbers parts, pins and nets in file order, each equal to its place', () => {
    expect(board.parts.map((part) => part.name)).toEqual([
      'Q1',
      'R9',
      'C2',
      'T1',
      'R1',
      'U1',
      'W3',
      'W4',
    ]);
    for (const list of [board.parts, board.pins, board.nets]) {
      list.forEach((item, i) => {
        expect(item.index).toBe(i);
      });
    }
  });

  test('pins know their part and net, and nets know their pins', () => {
    for (const pin of board.pins) {
      expect(board.parts[pin.part]?.pins).toContain(pin.index);
      expect(board.nets[pin.net]?.pins).toContain(pin.index);
    }
    expect(board.nets.flatMap((net) => net.pins).sort((a, b) => a - b)).toEqual(
      board.pins.map((pin) => pin.index),
    );
  });

  test('takes other spellings of a pin for the pin of the kind', () => {
    expect(pinNames('Q1')).toEqual(['G', 'D', 'S']);
    expect(netsOf('Q1')).toEqual(['HG_U', 'P48', 'OUT_U']);
  });

  test('takes a list of nets in the pin order of the kind', () => {
    expect(pinNames('R9')).toEqual(['1', '2']);
    expect(netsOf('R9')).toEqual(['OUT_U', 'GND']);
  });

  test('keeps the pins of a part that names its own, in file order', () => {
    expect(pinNames('U1')).toEqual(['8', '4', '1']);
  });

  test('reads values in base units', () => {
    expect(board.partNamed.get('R9')).toMatchObject({ ohms: 0.005, toleranceRatio: 0.01 });
    expect(board.partNamed.get('C2')).toMatchObject({ farads: 470e-6, volts: 63 });
    expect(board.partNamed.get('R1')?.ohms).toBe(10_000);
  });

  test('reads the facts about placing and handling', () => {
    expect(board.partNamed.get('Q1')).toMatchObject({ heatsink: 'heatsink', bank: 'upper U' });
    expect(board.partNamed.get('U1')).toMatchObject({
      heatsink: 'rear',
      partNumber: '4093',
      text: '7',
      failsFirst: false,
      guesses: [],
    });
    expect(board.partNamed.get('C2')).toMatchObject({ at: [41, -12.5], side: 'top', line: 8 });
    expect(board.partNamed.get('R1')).toMatchObject({ failsFirst: true, guesses: ['kind'] });
    expect(board.pins[board.partNamed.get('R1')?.pins[0] ?? -1]?.at).toEqual([1, 2]);
  });

  test('turns windings into pin numbers', () => {
    const [first, second] = board.partNamed.get('T1')?.pins ?? [];
    expect(board.partNamed.get('T1')?.windings).toEqual([
      { name: 'primary', pins: [first, second], ohms: 0.6 },
    ]);
  });

  test('makes jumpers parts, in either form', () => {
    expect(board.partNamed.get('W3')?.kind.link).toBe(true);
    expect(netsOf('W3')).toEqual(['P48', 'P48_FAN']);
    expect(board.partNamed.get('W4')).toMatchObject({ at: [3, 4], package: '1206' });
  });

  test('reads rails and net points', () => {
    const net = (name: string): number | undefined => board.netNamed.get(name)?.index;
    expect(board.rails).toEqual([{ name: 'bus', plus: net('P48'), minus: net('GND'), volts: 48 }]);
    expect(board.netNamed.get('GND')).toMatchObject({ points: ['J1.2', 'R9.2', 'TP4'], line: 16 });
    expect(board.netNamed.get('SEC')?.line).toBe(9);
  });

  test('carries file and digest', () => {
    expect(board.file).toBe('board.yaml');
    expect(board.digest).toBe(createHash('sha256').update(GOOD).digest('hex'));
  });

  test('leaves absent facts out', () => {
    expect(Object.keys(board.partNamed.get('W3') ?? {}).sort()).toEqual([
      'failsFirst',
      'guesses',
      'index',
      'kind',
      'line',
      'name',
      'pins',
      'windings',
    ]);
  });

  test('takes names that mean something to YAML or JavaScript as they stand', () => {
    const odd = load(
      'board: b\nparts:\n  toString: {kind: resistor, ohms: 1, pins: [012, 1e3]}\n  valueOf: {kind: resistor, ohms: 1, pins: [no, 0x10]}\n',
    );
    expect(odd.nets.map((net) => net.name)).toEqual(['012', '1e3', 'no', '0x10']);
  });

  test('reads Windows line ends and a byte order mark', () => {
    expect(load(`\ufeff${GOOD.replaceAll('\n', '\r\n')}`).parts).toHaveLength(8);
  });

  test('lets a board add kinds, and warns when one takes the place of a known kind', () => {
    const own = `${withPart('X1: {kind: my-box, pins: [A1, B1]}')}kinds:
  my-box: {title: my box, pins: [in, out], fit-rate: 5, resistances: [{between: [in, out], ohms: 2}]}
  ceramic: {title: mine, pins: [1, 2], fit-rate: 5}
`;
    const { board: made, warnings } = loadBoard(own, 'b');
    expect(made.partNamed.get('X1')?.kind.healthy).toEqual([
      { element: 'resistance', between: ['in', 'out'], ohms: 2 },
    ]);
    expect(warnings.map((w) => `${w.place?.line} ${w.code}`)).toEqual(['7 KIND_REPLACED']);
  });

  test.each(readdirSync('boards').filter((name) => name.endsWith('.yaml')))(
    'the ready board %s loads without a warning',
    (name) => {
      const { board: ready, warnings } = loadBoard(readFileSync(`boards/${name}`, 'utf8'), name);
      expect(warnings).toEqual([]);
      expect(ready.parts.length).toBeGreaterThanOrEqual(40);
    },
  );
});

describe('loadBoard on a bad file', () => {
  test('reports everything at once, in file order', () => {
    const bad = GOOD.replace('minus: GND', 'minus: GNT')
      .replace('n-mosfet', 'n-mosfte')
      .replace('farads: 470u', 'farads: 470x')
      .replace('at: [41.0, -12.5]', 'at: [41.0]')
      .replace('P48_FAN]', 'Q1]');
    expect(whereOf(bad)).toEqual([
      '4:27 UNKNOWN_NET',
      '6:14 UNKNOWN_KIND',
      '8:36 BAD_VALUE',
      '8:88 WRONG_LENGTH',
      '13:13 JUMPER_ON_PART',
    ]);
  });

  test('quotes the word and names the nearest known one', () => {
    const hints = (text: string): (string | undefined)[] => errorsOf(text).map((d) => d.hint);
    expect(hints(GOOD.replace('n-mosfet', 'n-mosfte'))).toEqual(['did you mean "n-mosfet"?']);
    expect(hints(GOOD.replace('minus: GND', 'minus: GNT'))).toEqual(['did you mean "GND"?']);
    expect(hints(GOOD.replace('heatsink: true', 'heatsnik: true'))).toEqual([
      'did you mean "heatsink"?',
    ]);
    expect(hints(GOOD.replace('side: top', 'side: topp'))).toEqual(['did you mean "top"?']);
    expect(errorsOf(GOOD.replace('gate:', 'gaet:'))[0]?.message).toContain('"gaet"');
  });

  test.each([
    [
      'an unknown key',
      'R1: {kind: resistor, ohms: 1, pins: [A1, B1], colour: red}',
      '4:49 UNKNOWN_KEY',
    ],
    ['a part without a kind', 'R1: {pins: [A1, B1]}', '4:7 MISSING_KEY'],
    ['a part without pins', 'R1: {kind: resistor, ohms: 1}', '4:7 MISSING_KEY'],
    ['a part that is no map', 'R1: resistor', '4:7 WRONG_TYPE'],
    ['a part that is nothing', 'R1:', '4:5 WRONG_TYPE'],
    ['an unknown pin', 'D1: {kind: diode, pins: {A: A1, KK: B1}}', '4:35 UNKNOWN_PIN'],
    ['a missing pin', 'D1: {kind: diode, pins: {A: A1}}', '4:27 MISSING_PIN'],
    [
      'one pin under two spellings',
      'D1: {kind: diode, pins: {A: A1, anode: B1, K: B1}}',
      '4:35 DUPLICATE',
    ],
    [
      'a list of pins that is too short',
      'R1: {kind: resistor, ohms: 1, pins: [A1]}',
      '4:39 WRONG_LENGTH',
    ],
    [
      'a list of pins that is too long',
      'R1: {kind: resistor, ohms: 1, pins: [A1, B1, C1]}',
      '4:39 WRONG_LENGTH',
    ],
    ['a net that is a list', 'R1: {kind: resistor, ohms: 1, pins: [A1, [B1]]}', '4:44 WRONG_TYPE'],
    [
      'a net that YAML takes for a flag',
      'R1: {kind: resistor, ohms: 1, pins: [A1, true]}',
      '4:44 WRONG_TYPE',
    ],
    ['a negative value', 'R1: {kind: resistor, ohms: -5, pins: [A1, B1]}', '4:30 BAD_VALUE'],
    ['a value of nothing', 'R1: {kind: resistor, ohms: 0, pins: [A1, B1]}', '4:30 BAD_VALUE'],
    [
      'a value in the wrong unit',
      'R1: {kind: resistor, ohms: 5 uF, pins: [A1, B1]}',
      '4:30 BAD_VALUE',
    ],
    [
      'a value of the wrong sort',
      'R1: {kind: resistor, ohms: 1, farads: 1u, pins: [A1, B1]}',
      '4:33 MISPLACED_VALUE',
    ],
    ['a resistor without its ohms', 'R1: {kind: resistor, pins: [A1, B1]}', '4:3 MISSING_VALUE'],
    [
      'a tolerance without a percent sign',
      'R1: {kind: resistor, ohms: 1, tolerance: 0.01, pins: [A1, B1]}',
      '4:44 BAD_VALUE',
    ],
    [
      'a heatsink that is a list',
      'R1: {kind: resistor, ohms: 1, heatsink: [x], pins: [A1, B1]}',
      '4:43 WRONG_TYPE',
    ],
    [
      'a bank that is a map',
      'R1: {kind: resistor, ohms: 1, bank: {a: b}, pins: [A1, B1]}',
      '4:39 WRONG_TYPE',
    ],
    [
      'a position in words',
      'R1: {kind: resistor, ohms: 1, at: [left, 3], pins: [A1, B1]}',
      '4:38 BAD_VALUE',
    ],
    [
      'an endless position',
      'R1: {kind: resistor, ohms: 1, at: [1e999, 3], pins: [A1, B1]}',
      '4:38 BAD_VALUE',
    ],
    [
      'a position of a pin that is not there',
      'R1: {kind: resistor, ohms: 1, pins: [A1, B1], pin-at: {3: [1, 2]}}',
      '4:58 UNKNOWN_PIN',
    ],
    [
      'windings of a kind with fixed pins',
      'R1: {kind: resistor, ohms: 1, pins: [A1, B1], windings: {}}',
      '4:49 MISPLACED_VALUE',
    ],
    [
      'a winding on a pin that is not there',
      'T1: {kind: transformer, pins: [A1, B1], windings: {p: {pins: [1, 3], ohms: 1}}}',
      '4:68 UNKNOWN_PIN',
    ],
    [
      'a key given twice',
      'R1: {kind: resistor, ohms: 1, ohms: 2, pins: [A1, B1]}',
      '4:33 DUPLICATE',
    ],
    ['a part given twice', 'R0: {kind: resistor, ohms: 1, pins: [A1, B1]}', '4:3 DUPLICATE'],
    ['an anchor', 'R1: &x {kind: resistor, ohms: 1, pins: [A1, B1]}', '4:10 ALIAS'],
    ['a tag', 'R1: {kind: !!str resistor, ohms: 1, pins: [A1, B1]}', '4:20 ALIAS'],
    ['a merge', '<<: {kind: resistor, ohms: 1}', '4:7 MISSING_KEY'],
  ])('%s is an error at its place', (_, part, where) => {
    expect(whereOf(withPart(part))).toEqual([where]);
  });

  test.each([
    'a.b',
    'a:b',
    'a,b',
    '"a b"',
    '"a\\tb"',
    '""',
    'lift',
    'LIFT',
    'ol',
    'Off',
    '__proto__',
    'constructor',
    '"\\u202e"',
    'x'.repeat(201),
  ])('%s is no name of a part', (name) => {
    const errors = errorsOf(withPart(`${name}: {kind: resistor, ohms: 1, pins: [A1, B1]}`));
    expect(errors.map((d) => d.code)).toEqual(['BAD_NAME']);
  });

  test.each(['"a b"', '""', 'note', 'Quiet', '__proto__', '"a\\nb"'])(
    '%s is no name of a net',
    (name) => {
      const errors = errorsOf(withPart(`R1: {kind: resistor, ohms: 1, pins: [${name}, B1]}`));
      expect(errors.map((d) => d.code)).toEqual(['BAD_NAME']);
    },
  );

  test('a net may not be called like a part, nor like a pin of one', () => {
    expect(whereOf(withPart('R1: {kind: resistor, ohms: 1, pins: [A1, R0]}'))).toEqual([
      '4:44 NAME_CLASH',
    ]);
    expect(whereOf(withPart('R1: {kind: resistor, ohms: 1, pins: [A1, R0.2]}'))).toEqual([
      '4:44 NAME_CLASH',
    ]);
    expect(whereOf(withPart('R1: {kind: resistor, ohms: 1, pins: [A1, X0.2]}'))).toEqual([]);
  });

  test('a jumper joins two nets, not parts, and has a name of its own', () => {
    const jumpers = (text: string): string[] => whereOf(`${withPart('')}jumpers:\n  ${text}\n`);
    expect(jumpers('W1: [R0, A1]')).toEqual(['6:8 JUMPER_ON_PART']);
    expect(jumpers('W1: [R0.2, A1]')).toEqual(['6:8 JUMPER_ON_PART']);
    expect(jumpers('R0: [A1, B1]')).toEqual(['6:3 DUPLICATE']);
    expect(jumpers('W1: [A1]')).toEqual(['6:7 WRONG_LENGTH']);
    expect(jumpers('W1: A1')).toEqual(['6:7 WRONG_TYPE']);
    expect(jumpers('W1: {nets: [A1, B1], nest: 1}')).toEqual(['6:24 UNKNOWN_KEY']);
  });

  test('a rail names two different nets that parts are on', () => {
    const rails = (text: string): string[] => whereOf(`${withPart('')}rails:\n  x: ${text}\n`);
    expect(rails('{plus: A1, minus: B1}')).toEqual([]);
    expect(rails('{plus: A2, minus: R0}')).toEqual(['6:13 UNKNOWN_NET', '6:24 UNKNOWN_NET']);
    expect(rails('{plus: A1, minus: A1}')).toEqual(['6:6 BAD_RAIL']);
    expect(rails('{plus: A1}')).toEqual(['6:6 MISSING_KEY']);
  });

  test('a net section speaks of nets and points that are there', () => {
    const nets = (text: string): string[] => whereOf(`${withPart('')}nets:\n  ${text}\n`);
    expect(nets('A1: {points: [R0.1, TP9, J7.3]}')).toEqual([]);
    expect(nets('A2: {}')).toEqual(['6:3 UNKNOWN_NET']);
    expect(nets('A1: {points: [R0.2]}')).toEqual(['6:17 POINT_ELSEWHERE']);
    expect(nets('A1: {points: [R0.3]}')).toEqual(['6:17 UNKNOWN_PIN']);
  });

  test.each([
    ['nothing', '', 'EMPTY'],
    ['a comment only', '# nothing\n', 'EMPTY'],
    ['a list', '- a\n', 'WRONG_TYPE'],
    ['a word', 'board\n', 'WRONG_TYPE'],
    ['a board without parts', 'board: x\nparts: {}\n', 'WRONG_LENGTH'],
    ['tabs for indentation', 'board: x\nparts:\n\tR1: {}\n', 'BAD_YAML'],
    ['an open bracket', 'board: [x\n', 'BAD_YAML'],
    ['two documents', 'board: x\n---\nboard: y\n', 'BAD_YAML'],
    ['a map as a key', 'board: x\n? {a: b}\n: c\n', 'BAD_KEY'],
  ])('%s is an error, not a crash', (_, text, code) => {
    expect(errorsOf(text).map((d) => d.code)).toContain(code);
  });

  test('one slip is one error', () => {
    expect(whereOf(withPart('R1: {kind: resistor, ohmz: 1, pins: [A1, B1]}'))).toEqual([
      '4:24 UNKNOWN_KEY',
    ]);
    expect(whereOf(withPart('R1: {knd: resistor, ohms: 1, pins: [A1, B1]}'))).toEqual([
      '4:8 UNKNOWN_KEY',
    ]);
    expect(whereOf(withPart('D1: {kind: diode, pins: {A: A1, KK: B1}}'))).toEqual([
      '4:35 UNKNOWN_PIN',
    ]);
    expect(whereOf(withPart('D1: {kind: dioed, pins: {X: A1, Y: B1}}'))).toEqual([
      '4:14 UNKNOWN_KIND',
    ]);
  });

  test('every error says where, and shows the line', () => {
    for (const d of errorsOf('board: [x\nparts: {R1: {a b: }}\n\tc\n')) {
      expect(d.place?.file).toBe('board.yaml');
      expect(d.place?.text).toBeDefined();
    }
  });
});
