import { expect, test } from 'vitest';
import { readIpc356 } from '../../../src/board/import/ipc356.ts';
import type { Netlist } from '../../../src/board/import/netlist.ts';
import { netlistOf, padLine } from './netlist-text.ts';

const read = (...lines: string[]): Netlist => readIpc356([...lines, '999'].join('\n'), 'n.ipc');

function pinsOf(netlist: Netlist, part: string): Record<string, string | undefined> {
  const found = netlist.parts.find(({ name }) => name === part);
  return Object.fromEntries((found?.pins ?? []).map((pin) => [pin.name, pin.net]));
}

const codes = (netlist: Netlist): string[] => netlist.warnings.map(({ code }) => code);

test('reads part, pin, net and place from the fixed columns', () => {
  const netlist = read(
    'P  UNITS CUST 0',
    padLine({ part: 'R1', pin: '2', net: '+5V', x: 10000, y: -20000 }),
  );
  expect(netlist.parts).toEqual([
    {
      name: 'R1',
      line: 2,
      side: 'top',
      pins: [{ name: '2', net: '+5V', at: [25.4, -50.8], pads: 1 }],
    },
  ]);
  expect(netlist.warnings).toEqual([]);
});

test.each([
  ['CUST', 2.54],
  ['CUST 0', 2.54],
  ['CUST 1', 1],
  ['SI', 1],
  ['CUST   2', 2.54],
])('takes a thousand counts of UNITS %s as %s mm', (units, mm) => {
  const netlist = read(`P  UNITS ${units}`, padLine({ part: 'R1', pin: '1', net: 'A', x: 1000 }));
  expect(netlist.parts[0]?.pins[0]?.at).toEqual([mm, 0]);
});

test('warns of units it does not know and keeps the nets', () => {
  const netlist = read('P  UNITS FURLONG', padLine({ part: 'R1', pin: '1', net: 'A' }));
  expect(codes(netlist)).toEqual(['UNKNOWN_UNITS']);
  expect(netlist.warnings[0]?.place).toMatchObject({ line: 1, text: 'P  UNITS FURLONG' });
  expect(pinsOf(netlist, 'R1')).toEqual({ 1: 'A' });
});

test('a code is three characters, whatever the net begins with', () => {
  const netlist = read(
    padLine({ part: 'C1', pin: '1', net: '24V_A' }),
    padLine({ part: 'C1', pin: '2', net: '7-X' }),
  );
  expect(pinsOf(netlist, 'C1')).toEqual({ 1: '24V_A', 2: '7-X' });
});

test('resolves long names by alias alone, by keyword and alias, spaced, and in comments', () => {
  const netlist = read(
    'P  NNAMEm0001 A_NAME_LONGER_THAN_FOURTEEN',
    'P  NNAME2     another one with blanks',
    'P  NNAME 003 THIRD_NAME_OF_ITS_KIND',
    'C  NNAMEm0004 FOURTH_IN_A_COMMENT',
    padLine({ part: 'U1', pin: '1', net: 'm0001' }),
    padLine({ part: 'U1', pin: '2', net: 'NNAME2' }),
    padLine({ part: 'U1', pin: '3', net: 'NNAME003' }),
    padLine({ part: 'U1', pin: '4', net: 'm0004' }),
  );
  expect(pinsOf(netlist, 'U1')).toEqual({
    1: 'A_NAME_LONGER_THAN_FOURTEEN',
    2: 'another one with blanks',
    3: 'THIRD_NAME_OF_ITS_KIND',
    4: 'FOURTH_IN_A_COMMENT',
  });
});

test('an alias may be declared after its first use', () => {
  const netlist = read(
    padLine({ part: 'U1', pin: '1', net: 'm0009' }),
    'P  NNAMEm0009 DECLARED_LATE_IN_THE_FILE',
  );
  expect(pinsOf(netlist, 'U1')).toEqual({ 1: 'DECLARED_LATE_IN_THE_FILE' });
});

test('follows a long designator that pushes the rest of the line to the right', () => {
  const line = '317SCL              COMMUNICATION-1    D  40PA00X  34000Y  20000X 600Y1200R270';
  const netlist = read('P  UNITS CUST 0', line);
  expect(netlist.parts[0]).toMatchObject({
    name: 'COMMUNICATION',
    pins: [{ name: '1', net: 'SCL', at: [86.36, 50.8] }],
  });
});

test('does not take the minus of a coordinate for the dash before a pin', () => {
  const line = '327GND              H1               A01X+001000Y-002000X0500Y0500R000 S0';
  expect(read(line).parts[0]).toMatchObject({ name: 'H1', pins: [{ name: 'pad', net: 'GND' }] });
});

test('pins may be called + and -', () => {
  const line = (pin: string, net: string): string => padLine({ part: 'C1', pin, net });
  expect(pinsOf(read(line('+', 'VCC'), line('-', 'GND')), 'C1')).toEqual({
    '+': 'VCC',
    '-': 'GND',
  });
});

test('N/C and a blank net join nothing', () => {
  const netlist = read(
    padLine({ part: 'U1', pin: '1', net: 'N/C' }),
    padLine({ part: 'U1', pin: '2', net: '' }),
  );
  expect(pinsOf(netlist, 'U1')).toEqual({ 1: undefined, 2: undefined });
});

test('counts vias, continuations, tooling holes and geometry, and makes no part of them', () => {
  const netlist = read(
    padLine({ part: 'VIA', pin: '', net: 'GND', code: '317' }),
    padLine({ part: 'via', pin: '', net: 'GND', code: '317' }),
    '017GND                    -     D0150PA00X+007000Y+005000',
    '367N/C              H1          D3200UA00X+002000Y+020000X3200Y0000R000 S3',
    '378SIG            L01 X150 X7000Y5000 X8000 Y6000',
    '079 m0001',
  );
  expect(netlist.parts).toEqual([]);
  expect(netlist.skipped).toEqual({
    vias: 2,
    continuations: 1,
    toolingHoles: 1,
    geometry: 2,
    withoutPart: 0,
  });
});

test('pads of one pin are one pin, in their middle', () => {
  const pad = (x: number): string => padLine({ part: 'Q1', pin: '2', net: 'D', x });
  expect(read('P  UNITS CUST 1', pad(1000), pad(3000)).parts[0]?.pins).toEqual([
    { name: '2', net: 'D', at: [2, 0], pads: 2 },
  ]);
});

test('a pin on two nets stays two pins and is reported with its line', () => {
  const netlist = read(
    padLine({ part: 'U1', pin: '3', net: 'A' }),
    padLine({ part: 'U1', pin: '3', net: 'B' }),
  );
  expect(pinsOf(netlist, 'U1')).toEqual({ 3: 'A', '3_2': 'B' });
  expect(netlist.warnings[0]).toMatchObject({ code: 'PIN_ON_TWO_NETS', place: { line: 1 } });
});

test('a surface part with drilled tabs sits where its surface pads are', () => {
  const side = (...pads: [code: '317' | '327', access: string][]): string | undefined =>
    read(
      ...pads.map(([code, access], index) =>
        padLine({ part: 'X1', pin: String(index + 1), net: `N${index}`, code, access }),
      ),
    ).parts[0]?.side;
  expect(side(['327', '01'], ['317', '00'])).toBe('top');
  expect(side(['317', '00'], ['327', '02'], ['327', '02'])).toBe('bottom');
  expect(side(['327', '01'], ['327', '02'])).toBeUndefined();
  expect(side(['317', '00'], ['317', '00'])).toBeUndefined();
});

test('side follows the access code, and a part with holes has none', () => {
  const side = (code: '317' | '327', access: string): string | undefined =>
    read(padLine({ part: 'X1', pin: '1', net: 'A', code, access })).parts[0]?.side;
  expect([side('327', '01'), side('327', '02'), side('327', '08'), side('317', '00')]).toEqual([
    'top',
    'bottom',
    'bottom',
    undefined,
  ]);
});

test('line ends of every kind, padding, blank lines and a byte order mark change nothing', () => {
  const text = netlistOf('R1 A B', 'R2 B A');
  const plain = readIpc356(text, 'n');
  for (const ending of ['\r\n', '\r', '   \n', '\n\n']) {
    const other = readIpc356(`\uFEFF${text.replaceAll('\n', ending)}`, 'n');
    expect(other.parts.map(({ name, pins }) => [name, pins])).toEqual(
      plain.parts.map(({ name, pins }) => [name, pins]),
    );
  }
});

test('warns when the end record is missing, and of what stands after it', () => {
  expect(codes(readIpc356(padLine({ part: 'R1', pin: '1', net: 'A' }), 'n'))).toEqual(['NO_END']);
  const after = readIpc356(`999\n${padLine({ part: 'R1', pin: '1', net: 'A' })}`, 'n');
  expect(codes(after)).toEqual(['AFTER_END']);
  expect(after.parts).toEqual([]);
});

test('unknown record codes are counted, one warning each', () => {
  const netlist = read('555 what', '555 is', '666 this');
  expect(netlist.warnings.map(({ message }) => message)).toEqual([
    '2 lines with record code "555" left out',
    '1 line with record code "666" left out',
  ]);
});
