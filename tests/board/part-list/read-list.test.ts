import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { InputError } from '../../../src/board/diagnostic.ts';
import { pinCountOf } from '../../../src/board/part-list/pin-count.ts';
import { readList } from '../../../src/board/part-list/read-list.ts';

describe('a list of parts without nets', () => {
  it('takes one pin a row, with places in mm, mil or inch and nets where they are known', () => {
    const { parts } = readList(
      'Pin;RefDes;X;Y;Net\n2;R1;100mil;2;GND\n1;R1;1 in;2,5;?\nA;D1;;;\nK;D1;;;NC_1\n',
      'pins.csv',
    );
    expect(parts.map(({ name, kind }) => [name, kind])).toEqual([
      ['D1', 'diode'],
      ['R1', 'resistor'],
    ]);
    expect(parts[0]?.pins).toEqual([
      { name: 'A', role: 'A' },
      { name: 'K', role: 'K' },
    ]);
    expect(parts[1]?.pins).toEqual([
      { name: '1', role: '1', at: [25.4, 2.5] },
      { name: '2', role: '2', at: [2.54, 2], net: 'GND' },
    ]);
  });

  it('takes a pin that is listed more than once for one point, and says so', () => {
    const { parts, warnings } = readList('part,pin\nR1,1\nR1,2\nR1,1\nR1,1\nC1,1\n', 'pins.csv');
    expect(parts.map(({ pins }) => pins.length)).toEqual([1, 2]);
    expect(warnings.map(({ code, message }) => [code, message])).toEqual([
      ['LISTED_TWICE', 'listed more than once, and taken for one point each: R1.1'],
    ]);
  });

  it('takes a bill of materials, pins by body or letters, and names what it cannot count', () => {
    const { parts, warnings } = readList(
      'Reference,Value,Footprint,x,y\n"C1, C3-C4",100n,C_0805,1,2\nU1,LM358,SOIC-8,,\nU9,module,Special,,\nQ2,2N7002,SOT-23,,\nJ1,,PinHeader_2x05_P2.54mm,,\nR9,DNP,R_0805,,\n',
      'bom.csv',
    );
    expect(parts.map(({ name, pins }) => [name, pins.length])).toEqual([
      ['C1', 2],
      ['C3', 2],
      ['C4', 2],
      ['J1', 10],
      ['Q2', 3],
      ['U1', 8],
    ]);
    expect(parts[4]?.pins.map(({ role }) => role)).toEqual(['G', 'S', 'D']);
    expect(parts[0]?.pins[0]?.at).toEqual([1, 2]);
    expect(warnings.find(({ code }) => code === 'NO_PINS')?.message).toMatch(/U9/);
  });

  it('takes kinds and values from a bill beside it', () => {
    const bom = { text: 'refdes,value\nR1,0R\n', file: 'bom.csv' };
    const [part] = readList('part,pin\nR1,1\nR1,2\n', 'pins.csv', bom).parts;
    expect(part?.kind).toBe('jumper');
  });

  it('is refused where no row heads the columns, and where no pin is listed', () => {
    expect(() => readList('a,b\nR1,1\n', 'x.csv')).toThrow(/no row heads columns/);
    expect(() => readList('part,pin\n', 'x.csv')).toThrow(/no pin is listed/);
  });

  it('is a list or an error, whatever it is handed', () => {
    const texts = fc.oneof(
      fc.string(),
      fc.string().map((tail) => `part,pin,x,y,net\nR1,1,2,3,GND\n${tail}`),
      fc.string().map((tail) => `refdes,value,footprint,pins\nC1-C4,1u,0805,2\n${tail}`),
    );
    fc.assert(
      fc.property(texts, (text) => {
        try {
          const names = readList(text, 'x.csv').parts.map(({ name }) => name);
          expect(new Set(names).size).toBe(names.length);
        } catch (error) {
          expect(error).toBeInstanceOf(InputError);
        }
      }),
      { numRuns: 300 },
    );
  });
});

it.each([
  ['U', 'QFN-32-1EP_5x5mm', '', 32],
  ['U', 'TSSOP-14', '', 14],
  ['Q', 'TO-220-3', '', 3],
  ['U', 'SOT-23-5', '', 5],
  ['C', 'C_0402', '', 2],
  ['J', 'JST_PH', '1x04', 4],
  ['U', 'Odd', '', undefined],
])('%s in %s %s has %s pins', (letters, footprint, text, count) => {
  expect(pinCountOf(letters, footprint, text)).toBe(count);
});
