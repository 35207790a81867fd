import fc from 'fast-check';
import { expect, test } from 'vitest';
import { InputError } from '../../../src/board/diagnostic.ts';
import { type Pieces, readLines } from '../../../src/board/import/text-lines.ts';

function linesOf(pieces: Pieces): string[] {
  const lines: string[] = [];
  return readLines(pieces, 'f', {
    line: (text, number) => {
      expect(number).toBe(lines.length + 1);
      lines.push(text);
    },
    end: (count) => {
      expect(count).toBe(lines.length);
      return lines;
    },
  });
}

test('the same lines come out wherever the bytes are cut', () => {
  const text = fc.string({ unit: fc.constantFrom('a', 'µ', '€', '\n', '\r\n'), maxLength: 30 });
  fc.assert(
    fc.property(text, fc.nat(40), fc.nat(40), (whole, one, two) => {
      const bytes = Buffer.from(`x\n${whole}`);
      const [first = 0, second = 0] = [one, two].toSorted((a, b) => a - b);
      const pieces = [
        bytes.subarray(0, first),
        bytes.subarray(first, second),
        bytes.subarray(second),
      ];
      expect(linesOf(pieces)).toEqual(linesOf(`x\n${whole}`));
      const wanted = `x\n${whole}`.split(/\r\n|\n/);
      expect(linesOf(pieces)).toEqual(wanted.at(-1) === '' ? wanted.slice(0, -1) : wanted);
    }),
  );
});

test.each(['utf-16le', 'utf-16be'])('%s with its mark reads as UTF-8 does', (coding) => {
  const text = '\ufeffpart,net\r\nR1,5 µV\r\n';
  const bytes = Buffer.from(text, 'utf16le');
  if (coding === 'utf-16be') bytes.swap16();
  const single = Array.from(bytes, (byte) => Uint8Array.of(byte));
  expect(linesOf([bytes])).toEqual(['part,net', 'R1,5 µV']);
  expect(linesOf(single)).toEqual(['part,net', 'R1,5 µV']);
});

test('names that differ in Latin-1 stay different', () => {
  const bytes = Buffer.from('317\u00b5A\n317\u00c4A\n', 'latin1');
  expect(linesOf([bytes])).toEqual(['317µA', '317ÄA']);
});

test('a line of a megabyte is refused, ended or not', () => {
  for (const end of ['', '\n']) {
    const pieces = Array.from({ length: 40 }, () => Buffer.from('x'.repeat(30_000)));
    expect(() => linesOf([...pieces, Buffer.from(end)])).toThrow(InputError);
  }
});
