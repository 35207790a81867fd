import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { InputError } from '../../../src/board/diagnostic.ts';
import { loadBoard } from '../../../src/board/load.ts';
import { listedPrice, readPriceList } from '../../../src/job/shop/price-list.ts';
import { parsePrice } from '../../../src/job/shop/price-text.ts';
import { priceBook } from '../../../src/job/shop/prices.ts';

const priceIn = (text: string, number: string): number | undefined =>
  listedPrice(readPriceList(text, 'p.csv'), number)?.price;

describe('a price', () => {
  test.each([
    ['0.45', 0.45],
    ['€ 0,45', 0.45],
    ['0,45 €', 0.45],
    ['1.234,56 EUR', 1234.56],
    ['$1,234.56', 1234.56],
    ["1'200.00 CHF", 1200],
    ['1 234,50', 1234.5],
    ['1\u202f234,50 €', 1234.5],
    ['12,-', 12],
    ['12.- CHF', 12],
    ['1,234,567', 1234567],
    ['1.234.567,8', 1234567.8],
    ['0.125', 0.125],
    ['0,125', 0.125],
    ['.', undefined],
    ['', undefined],
    ['on request', undefined],
    ['-3.20', undefined],
    ['(3.20)', undefined],
    ['19 %', undefined],
    ['3.20 / 4.10', undefined],
  ])('%j is %j', (text, price) => {
    expect(parsePrice(text)?.price).toBe(price);
  });

  test('with one mark and three figures goes by the rest of the list, and is called unsure', () => {
    expect(parsePrice('1,234', '.')).toEqual({ price: 1234, ambiguous: true });
    expect(parsePrice('1,234', ',')).toEqual({ price: 1.234, ambiguous: true });
    expect(parsePrice('1.234', '.')).toEqual({ price: 1.234, ambiguous: true });
  });

  test('written in any usual way is read back', () => {
    const cents = fc.integer({ min: 0, max: 99_999_999 });
    const ways: readonly ((units: string, hundredths: string) => string)[] = [
      (units, part) => `${grouped(units, ',')}.${part}`,
      (units, part) => `${grouped(units, '.')},${part} €`,
      (units, part) => `$ ${units}.${part}`,
      (units, part) => `${grouped(units, ' ')},${part}`,
      (units, part) => `CHF ${grouped(units, "'")}.${part}`,
    ];
    fc.assert(
      fc.property(cents, fc.constantFrom(...ways), (count, way) => {
        const text = way(String(Math.floor(count / 100)), String(count % 100).padStart(2, '0'));
        expect(parsePrice(text)?.price, text).toBeCloseTo(count / 100, 9);
      }),
    );
  });

  test('is read from no text that brings the reader down', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 80 }), (text) => {
        const price = parsePrice(text)?.price ?? 0;
        expect(Number.isFinite(price) && price >= 0).toBe(true);
      }),
    );
  });
});

function grouped(digits: string, mark: string): string {
  return digits.replace(/\B(?=(\d{3})+$)/g, mark);
}

describe('a price list', () => {
  test.each([
    ['Part number,Price\nAB-1,0.45', 0.45],
    ['MPN;Unit price (EUR);Stock\nAB-1;0,45;12', 0.45],
    ['Stock list of May\n\nOrder code\tDescription\tPrice EUR\nAB-1\tsomething\t0,45', 0.45],
    ['Article no.,Net price,Per\nAB-1,45,100', 0.45],
    ['Manufacturer Part Number,Cost,Currency\n"AB-1",€0.45,EUR', 0.45],
    ['sku|unit cost\nAB-1|$0.45', 0.45],
  ])('finds its columns by their headings: %j', (text, price) => {
    expect(priceIn(text, 'ab-1')).toBeCloseTo(price, 9);
  });

  test('knows the decimal mark from prices that leave no doubt', () => {
    expect(priceIn('mpn;price\nA;12,50\nB;1.250', 'B')).toBe(1250);
    expect(priceIn('mpn;price\nA;12.50\nB;1.250', 'B')).toBe(1.25);
    expect(readPriceList('mpn;price\nA;12,50\nB;1.250', 'p').warnings).toMatchObject([
      { code: 'UNSURE_PRICE', place: { line: 3 } },
    ]);
  });

  test('of several prices for a part takes that of the smallest quantity, else the dearest', () => {
    expect(priceIn('mpn,moq,price\nA,100,0.2\nA,1,0.5\nA,10,0.4', 'A')).toBe(0.5);
    expect(priceIn('mpn,price\nA,0.2\nA,0.5\nA,0.4', 'A')).toBe(0.5);
  });

  test('finds a number written with other blanks and hyphens, unless two differ only there', () => {
    expect(priceIn('mpn,price\nAB 12-X,3', 'ab12x')).toBe(3);
    expect(priceIn('mpn,price\nAB-1,3\nAB1,4', 'AB 1')).toBeUndefined();
    expect(priceIn('mpn,price\nAB-1,3\nAB1,4', 'ab1')).toBe(4);
  });

  test('gives no price where it says none, and tells which rows it could not read', () => {
    const list = readPriceList('mpn,price\nA,\nB,on request\nC,-4\nD,0', 'p.csv');
    expect([...list.prices.keys()]).toEqual(['D']);
    expect(list.warnings.map(({ place }) => place?.line)).toEqual([3, 4]);
  });

  test('names its currency', () => {
    expect(readPriceList('mpn,price\nA,€3', 'p').currency).toBe('EUR');
    expect(readPriceList('mpn,Price (CHF)\nA,3', 'p').currency).toBe('CHF');
    expect(readPriceList('mpn,price\nA,3', 'p').currency).toBeUndefined();
  });

  test('without such columns is refused, quoting its first line', () => {
    expect(() => readPriceList('colour,size\nred,3', 'p.csv')).toThrow(InputError);
  });

  test('of any quoted cells is read back', () => {
    const number = fc.stringMatching(/^[A-Z0-9][A-Z0-9,;" -]{0,8}[A-Z0-9]$/);
    const rows = fc.uniqueArray(fc.tuple(number, fc.integer({ min: 0, max: 99_999 })), {
      maxLength: 8,
      selector: ([name]) => name.replace(/[\s_/.-]+/g, ''),
    });
    fc.assert(
      fc.property(rows, (listed) => {
        const body = listed.map(
          ([name, cents]) => `"${name.replaceAll('"', '""')}","${(cents / 100).toFixed(2)}"`,
        );
        const text = ['"part number","price"', ...body].join('\r\n');
        for (const [name, cents] of listed) expect(priceIn(text, name)).toBe(cents / 100);
      }),
    );
  });

  test('is not brought down by any text, nor by a list cut to pieces', () => {
    const LIST = 'Stock\n\nMPN;Unit price;per\n"AB-1";"1.234,56 €";100\nCD;0,45;1\n';
    const expectListOrError = (text: string): void => {
      try {
        for (const { price } of readPriceList(text, 'p').prices.values()) {
          expect(Number.isFinite(price) && price >= 0).toBe(true);
        }
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
      }
    };
    fc.assert(fc.property(fc.string({ unit: 'binary', maxLength: 200 }), expectListOrError));
    const edit = fc.record({
      at: fc.nat(LIST.length),
      cut: fc.nat(10),
      put: fc.string({ maxLength: 4 }),
    });
    fc.assert(
      fc.property(fc.array(edit, { maxLength: 5 }), (edits) => {
        expectListOrError(
          edits.reduce(
            (all, { at, cut, put }) => all.slice(0, at) + put + all.slice(at + cut),
            LIST,
          ),
        );
      }),
      { numRuns: 300 },
    );
  });
});

describe('the price of a part', () => {
  const { board } = loadBoard(
    `board: b
parts:
  C1: {kind: ceramic, farads: 1u, pins: [A, B], part-number: CC-1U}
  C2: {kind: ceramic, farads: 1u, pins: [A, B]}
  Q1: {kind: npn, pins: {B: A, C: B, E: C}, text: BCX 1}
  R1: {kind: resistor, ohms: 1k, pins: [A, C]}
`,
    'b.yaml',
  );
  const list = readPriceList('mpn,price\nCC 1U,0.30\nBCX1,0.80', 'p.csv');
  const book = priceBook({ usual: new Map([['ceramic', 0.1]]) }, list);
  const priceOf = (name: string) => {
    const part = board.partNamed.get(name);
    return part && book.priceOf(part);
  };

  test('comes from the list, by its number or what is printed on it, else from its kind', () => {
    expect(priceOf('C1')).toEqual({ price: 0.3, by: 'list' });
    expect(priceOf('Q1')).toEqual({ price: 0.8, by: 'list' });
    expect(priceOf('C2')).toEqual({ price: 0.1, by: 'usual' });
  });

  test('is unknown where nothing says, never nought', () => {
    expect(priceOf('R1')).toBeUndefined();
  });
});
