import { type Diagnostic, InputError } from '../../board/diagnostic.ts';
import { type CsvRow, findSeparator, readCsv } from '../../board/import/csv.ts';
import { currencyIn, type DecimalMark, parsePrice, shownMark } from './price-text.ts';

/** One price of a list. */
export interface ListedPrice {
  readonly partNumber: string;
  /** Of one piece. */
  readonly price: number;
  readonly line: number;
}

/** Prices by part number. */
export interface PriceList {
  readonly file: string;
  /** By part number in capitals. */
  readonly prices: ReadonlyMap<string, ListedPrice>;
  /** By part number without blanks, hyphens, dots; undefined where two parts differ only there. */
  readonly loosely: ReadonlyMap<string, ListedPrice | undefined>;
  /** Code of the currency that the list names; the first where it names several. */
  readonly currency?: string;
  readonly warnings: readonly Diagnostic[];
}

type Column = 'partNumber' | 'price' | 'per' | 'from' | 'currency';

/** Headings by meaning, lower case, letters and digits only; earlier ones win. */
const HEADINGS: Readonly<Record<Column, readonly string[]>> = {
  partNumber: words(
    'mpn partnumber partno partnr manufacturerpartnumber manufacturerpart manufacturerpartno mfrpartnumber mfrpartno mfrpn mfgpartnumber mfgpn manufacturerpn ordercode orderno ordernumber ordernr articlenumber articleno articlenr article stockcode stocknumber itemnumber itemno sku part item number type',
  ),
  price: words(
    'unitprice priceeach priceperunit priceperpiece pieceprice netprice price unitcost costeach costperunit cost each amount',
  ),
  per: words('per priceper pricedper priceunit unitquantity packsize packquantity packqty pack'),
  from: words(
    'fromquantity fromqty from minqty minimumquantity breakquantity pricebreak break moq',
  ),
  currency: words('currency curr ccy'),
};

const HEADER_WITHIN = 30;
const LONGEST_NUMBER = 200;

/**
 * Reads a price list from comma-, semicolon- or tab-separated text. Columns are found by the meaning
 * of their headings; a column `per` divides (price per 100), and of several prices for one part that
 * of the smallest quantity counts, else the dearest. A row without a readable price has none.
 * @throws {InputError} when no columns name parts and prices
 */
export function readPriceList(text: string, file: string): PriceList {
  const clean = text.replace(/^\uFEFF/, '').replaceAll('\0', '');
  const separator = findSeparator(clean);
  const rows = readCsv(clean, separator);
  const header = findHeader(rows);
  if (header === undefined) throw noHeader(rows[0], file);
  const body = rows.slice(header.row + 1);
  const { columns } = header;
  const mark = markOf(body, columns, separator);
  const gathered = new Gathered(file);
  for (const row of body) gathered.take(row, columns, mark);
  const heading = rows[header.row]?.cells[columns.get('price') ?? -1] ?? '';
  const currency = gathered.currency ?? currencyOfHeading(heading);
  const { prices, warnings } = gathered;
  return {
    file,
    prices,
    loosely: looselyKeyed(prices),
    warnings,
    ...(currency === undefined ? {} : { currency }),
  };
}

/** The price of a part number; letter case, and then blanks and hyphens, make no difference. */
export function listedPrice(list: PriceList, partNumber: string): ListedPrice | undefined {
  return list.prices.get(numberKey(partNumber)) ?? list.loosely.get(looseKey(partNumber));
}

function looselyKeyed(
  prices: ReadonlyMap<string, ListedPrice>,
): Map<string, ListedPrice | undefined> {
  const loosely = new Map<string, ListedPrice | undefined>();
  for (const [key, price] of prices) {
    const loose = looseKey(key);
    loosely.set(loose, loosely.has(loose) ? undefined : price);
  }
  return loosely;
}

function numberKey(text: string): string {
  return text.trim().replace(/\s+/g, ' ').toUpperCase();
}

function looseKey(text: string): string {
  return text.toUpperCase().replace(/[\s_/.-]+/g, '');
}

/** Rows on their way into a list. */
class Gathered {
  readonly prices = new Map<string, ListedPrice>();
  readonly warnings: Diagnostic[] = [];
  currency: string | undefined;
  readonly #from = new Map<string, number>();
  readonly #file: string;

  constructor(file: string) {
    this.#file = file;
  }

  take(row: CsvRow, columns: ReadonlyMap<Column, number>, mark: DecimalMark): void {
    const cell = (column: Column): string => row.cells[columns.get(column) ?? -1] ?? '';
    const partNumber = cell('partNumber').replace(/\s+/g, ' ').slice(0, LONGEST_NUMBER);
    const said = cell('price').trim();
    if (partNumber === '' || said === '') return;
    const parsed = parsePrice(said, mark);
    if (parsed === undefined) {
      this.#warn(row, 'NO_PRICE', `"${said.slice(0, 60)}" is no price; ${partNumber} has none`);
      return;
    }
    if (parsed.ambiguous) {
      const message = `"${said}" of ${partNumber} is taken for ${parsed.price}`;
      this.#warn(row, 'UNSURE_PRICE', message, 'write it with two decimals');
    }
    this.currency ??= parsed.currency ?? currencyIn(cell('currency').toUpperCase());
    const price = parsed.price / divisor(cell('per'));
    this.#keep({ partNumber, price, line: row.line }, quantity(cell('from')));
  }

  #keep(found: ListedPrice, from: number): void {
    const key = numberKey(found.partNumber);
    const held = this.prices.get(key);
    const heldFrom = this.#from.get(key) ?? 0;
    const isBetter = held === undefined || from < heldFrom;
    const isDearer = held !== undefined && from === heldFrom && found.price > held.price;
    if (isBetter || isDearer) {
      this.prices.set(key, found);
      this.#from.set(key, from);
    }
  }

  #warn({ line, cells }: CsvRow, code: string, message: string, hint?: string): void {
    const text = cells.join(', ').slice(0, 200);
    const place = { file: this.#file, line, column: 1, endColumn: text.length + 1, text };
    const base: Diagnostic = { code, severity: 'warning', message, place };
    this.warnings.push(hint === undefined ? base : { ...base, hint });
  }
}

/** `per 100`, `1000 pcs` → that many; anything else is one. */
function divisor(text: string): number {
  return Math.max(quantity(text), 1);
}

function quantity(text: string): number {
  const digits = /\d[\d.,' ]*/.exec(text)?.[0].replace(/\D/g, '') ?? '';
  return digits === '' ? 0 : Math.min(Number(digits), 1e9);
}

/** What most unambiguous prices show; where none does, what goes with the separator. */
function markOf(
  rows: readonly CsvRow[],
  columns: ReadonlyMap<Column, number>,
  separator: string,
): DecimalMark {
  let commas = 0;
  let points = 0;
  for (const { cells } of rows) {
    const mark = shownMark(cells[columns.get('price') ?? -1] ?? '');
    if (mark === ',') commas += 1;
    if (mark === '.') points += 1;
  }
  if (commas !== points) return commas > points ? ',' : '.';
  return separator === ';' ? ',' : '.';
}

function findHeader(
  rows: readonly CsvRow[],
): { row: number; columns: ReadonlyMap<Column, number> } | undefined {
  for (const [row, { cells }] of rows.slice(0, HEADER_WITHIN).entries()) {
    const columns = readHeader(cells);
    if (columns.has('partNumber') && columns.has('price')) return { row, columns };
  }
  return undefined;
}

/** `Unit price (EUR)` → `unitprice`: what stands in brackets or names a currency is no part of it. */
function readHeader(cells: readonly string[]): ReadonlyMap<Column, number> {
  const keys = cells.map((cell) =>
    cell
      .replace(/[([].*$/, '')
      .replace(/\b(?:EUR|USD|GBP|CHF|in|net)\b/gi, (word) => (/net/i.test(word) ? word : ''))
      .toLowerCase()
      .replace(/[^a-z0-9]/g, ''),
  );
  const columns = new Map<Column, number>();
  for (const [column, headings] of Object.entries(HEADINGS) as [Column, readonly string[]][]) {
    const at = headings.map((heading) => keys.indexOf(heading)).find((place) => place >= 0);
    if (at !== undefined) columns.set(column, at);
  }
  return columns;
}

function currencyOfHeading(heading: string): string | undefined {
  return currencyIn(heading.replace(/[a-z]/g, ' '));
}

function words(text: string): string[] {
  return text.split(' ');
}

function noHeader(row: CsvRow | undefined, file: string): InputError {
  const text = (row?.cells ?? []).join(', ').slice(0, 200);
  return new InputError([
    {
      code: 'NO_PRICE_COLUMN',
      severity: 'error',
      message: 'no columns of this price list name parts and prices',
      place: { file, line: row?.line ?? 1, column: 1, endColumn: text.length + 1, text },
      hint: 'head one column "part number" and one "price"',
    },
  ]);
}
