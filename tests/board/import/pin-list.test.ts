import fc from 'fast-check';
import { expect, test } from 'vitest';
import { InputError } from '../../../src/board/diagnostic.ts';
import type { Netlist } from '../../../src/board/import/netlist.ts';
import { PinListReader } from '../../../src/board/import/pin-list.ts';
import { readLines } from '../../../src/board/import/text-lines.ts';

const read = (text: string): Netlist => readLines(text, 'pins.csv', new PinListReader('pins.csv'));

/** `R1.1 A` for each pin, `-` where it touches nothing. */
function pinsOf(netlist: Netlist): string[] {
  return netlist.parts.flatMap(({ name, pins }) =>
    pins.map((pin) => `${name}.${pin.name} ${pin.net ?? '-'}`),
  );
}

const codes = (netlist: Netlist): string[] => netlist.warnings.map(({ code }) => code);

test.each([
  ['commas', 'part,pin,net\nR1,1,A\nR1,2,B\n'],
  ['semicolons, another order', 'Signal;Designator;Pad\r\nA;R1;1\r\nB;R1;2\r\n'],
  ['tabs and a title above', 'Board 4\n\nRef Des\tPin Number\tNet Name\nR1\t1\tA\nR1\t2\tB'],
  ['quotes and a byte order mark', '\ufeff"Component","Pin No.","Net"\n"R1","1","A"\n"R1","2","B"'],
  ['a node for a net', 'refdes,pin,node\nR1,1,A\nR1,2,B'],
  ['pins in full', 'net,pin\nA,R1.1\nB,R1-2'],
  ['all pins of a net in one cell', 'Net,Nodes\nA,R1.1\nB,"R1.2"'],
])('reads %s', (_, text) => {
  expect(pinsOf(read(text))).toEqual(['R1.1 A', 'R1.2 B']);
});

test('many pins stand in one cell, with + and - among them', () => {
  expect(pinsOf(read('net,pins\nGND,"C1.- U1-4, J1.2"\n+5V,C1-+'))).toEqual([
    'C1.- GND',
    'C1.+ +5V',
    'U1.4 GND',
    'J1.2 GND',
  ]);
});

test('pins without a net are not joined with each other', () => {
  const netlist = read('part,pin,net\nU1,1,NC\nU2,1,NC\nU3,1,\nU3,2,N/C\nU3,3,<none>');
  expect(pinsOf(netlist)).toEqual(['U1.1 -', 'U2.1 -', 'U3.1 -', 'U3.2 -', 'U3.3 -']);
  expect(netlist.warnings[0]?.message).toBe(
    '2 pins with "NC" for a net are taken as joined to nothing',
  );
});

test('repeated rows are pads of one pin; a pin on two nets is reported', () => {
  const netlist = read('part,pin,net\nQ1,2,D\nQ1,2,D\nQ1,3,A\nQ1,3,B');
  expect(netlist.parts[0]?.pins).toMatchObject([
    { name: '2', net: 'D', pads: 2 },
    { name: '3', net: 'A' },
    { name: '3_2', net: 'B' },
  ]);
  expect(codes(netlist)).toEqual(['PIN_ON_TWO_NETS']);
});

test('rows without a part or a pin are counted', () => {
  const netlist = read('part,pin,net\n,1,A\nR1,,A\nR1,1,A');
  expect(netlist.warnings[0]).toMatchObject({
    message: '2 rows without a part or a pin left out, the first on line 2',
    place: { line: 2 },
  });
});

test('what else the list says of parts and pins is kept', () => {
  const text =
    'part,pin,pin name,net,value,package,side\nQ1,1,G,GATE,IRF540,TO-220,top\nQ1,2,D,P48,IRF540,TO-220,top';
  expect(read(text).parts[0]).toMatchObject({
    value: 'IRF540',
    footprint: 'TO-220',
    side: 'top',
    pins: [
      { name: '1', role: 'G' },
      { name: '2', role: 'D' },
    ],
  });
});

test.each([
  ['no header', 'R1,1,A\nR1,2,B', 'NO_PIN_COLUMNS'],
  ['nothing', '', 'NO_PIN_COLUMNS'],
  ['a quote left open', 'part,pin,net\nR1,1,"A\nR1,2,B', 'OPEN_QUOTE'],
])('%s is refused', (_, text, code) => {
  const refusal = (): unknown => {
    try {
      return read(text);
    } catch (error) {
      return error instanceof InputError ? error.diagnostics[0]?.code : error;
    }
  };
  expect(refusal()).toBe(code);
});

test('any names come back on the nets they were on', () => {
  const name = fc.string({ unit: fc.constantFrom(...'aB1,;"\t +µ|'), minLength: 1, maxLength: 8 });
  const trimmed = name
    .map((text) => text.replace(/\s+/g, ' ').trim())
    .filter((text) => text !== '');
  const row = fc.tuple(trimmed, trimmed, trimmed);
  const mark = fc.constantFrom(',', ';', '\t');
  const rows = fc.uniqueArray(row, {
    minLength: 1,
    maxLength: 12,
    selector: (r) => `${r[0]}\n${r[1]}`,
  });
  fc.assert(
    fc.property(rows, mark, fc.shuffledSubarray([0, 1, 2], { minLength: 3 }), (list, by, order) => {
      const head = ['refdes', 'pin', 'net'];
      const quoted = list.map((cells) => cells.map((cell) => `"${cell.replaceAll('"', '""')}"`));
      const text = [head, ...quoted]
        .map((cells) => order.map((at) => cells[at]).join(by))
        .join('\r\n');
      const wanted = list.map(([part, pin, net]) => `${part}.${pin} ${net}`);
      expect(pinsOf(read(text)).toSorted()).toEqual(wanted.toSorted());
    }),
  );
});
