import fc from 'fast-check';
import { expect, test } from 'vitest';
import { InputError } from '../../../src/board/diagnostic.ts';
import { readBom } from '../../../src/board/import/bom.ts';
import { readCsv } from '../../../src/board/import/csv.ts';
import { expandDesignators } from '../../../src/board/import/designators.ts';

const quote = (cell: string): string => `"${cell.replaceAll('"', '""')}"`;

test('any cells written with quotes are read back', () => {
  const cell = fc.string({
    maxLength: 12,
    unit: fc.constantFrom('a', '1', ' ', ',', ';', '"', '\n', 'µ'),
  });
  const table = fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { maxLength: 5 });
  fc.assert(
    fc.property(table, fc.constantFrom(',', ';', '\t'), (rows, mark) => {
      const text = rows.map((row) => row.map(quote).join(mark)).join('\r\n');
      const trimmed = rows.map((row) => row.map((each) => each.trim()));
      const filled = trimmed.filter((row) => row.some((each) => each !== ''));
      expect(readCsv(text, mark).map(({ cells }) => cells)).toEqual(filled);
    }),
  );
});

test('rows know the line they start on, past quoted line breaks', () => {
  expect(readCsv('a,b\n"x\ny",c\n\nd,e', ',').map(({ line }) => line)).toEqual([1, 2, 5]);
});

test.each([
  ['refdes,value,footprint\nC1,10u,C_0805', ','],
  ['Reference;Val;Package\nC1;10u;C_0805', ';'],
  ['Designator\tComment\tFootprint\nC1\t10u\tC_0805', 'tab'],
  ['My board, rev 2\n\nRefs,Value,PCB Footprint\nC1,10u,lib:C_0805', 'a title above'],
])('finds the columns by their headings: %j', (text) => {
  expect(readBom(text, 'b.csv').entries.get('C1')).toMatchObject({
    value: '10u',
    footprint: 'C_0805',
    fitted: true,
  });
});

test('part numbers come from any of their usual headings', () => {
  const bom = readBom('Ref,Value,Manufacturer Part Number\nQ1,NMOS,"AB-1, cut tape"', 'b');
  expect(bom.entries.get('Q1')?.partNumber).toBe('AB-1, cut tape');
});

test.each([
  ['C1, C2-C5 R7', ['C1', 'C2', 'C3', 'C4', 'C5', 'R7']],
  ['C2-5', ['C2', 'C3', 'C4', 'C5']],
  ['C2 – C4;C9', ['C2', 'C3', 'C4', 'C9']],
  ['C1..C3', ['C1', 'C2', 'C3']],
  ['J1-R3', ['J1-R3']],
  ['C5-C2', ['C5-C2']],
  ['C1-C999999', ['C1-C999999']],
  ['', []],
])('expands %j', (text, names) => {
  expect(expandDesignators(text)).toEqual(names);
});

test.each(['DNP', '47k DNP', 'NI', 'do not populate', '10k (DNF)'])('%j is not fitted', (value) => {
  expect(readBom(`Ref,Value\nR1,${value}`, 'b').entries.get('R1')?.fitted).toBe(false);
});

test.each(['10k', 'NINE', 'DNPX'])('%j is fitted', (value) => {
  expect(readBom(`Ref,Value\nR1,${value}`, 'b').entries.get('R1')?.fitted).toBe(true);
});

test('a bill that names no parts is refused, quoting its first line', () => {
  const read = (): unknown => readBom('colour,size\nred,3', 'b.csv');
  expect(read).toThrow(InputError);
  try {
    read();
  } catch (error) {
    expect(error instanceof InputError && error.diagnostics[0]).toMatchObject({
      code: 'NO_PART_COLUMN',
      place: { file: 'b.csv', line: 1, text: 'colour, size' },
    });
  }
});

test('a part listed twice with two values is reported', () => {
  const bom = readBom('Ref,Value\nR1,10k\nR1,22k', 'b');
  expect(bom.entries.get('R1')?.value).toBe('10k');
  expect(bom.warnings).toMatchObject([{ code: 'GIVEN_TWICE', place: { line: 3 } }]);
});
