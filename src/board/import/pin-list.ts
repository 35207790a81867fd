import type { Diagnostic } from '../diagnostic.ts';
import { PinCollector } from './collect-pins.ts';
import { type Columns, findColumns, type Headings, words } from './columns.ts';
import type { CsvRow } from './csv.ts';
import { HeadedTable, rowText } from './headed-table.ts';
import type { Netlist, NetlistPart, PartFacts } from './netlist.ts';
import { counted, listed } from './say.ts';
import type { LineReader } from './text-lines.ts';

type Column = 'part' | 'net' | 'pin' | 'role' | 'side' | 'value' | 'footprint' | 'partNumber';

const HEADINGS: Headings<Column> = {
  part: words(
    'refdes reference references designator designators refdesignator referencedesignator partreference partrefdes partdesignator componentdesignator componentref componentname ref refs component comp part partname device',
  ),
  net: words('net netname nets signal signalname netlabel connection connectedto net1 wire'),
  pin: words(
    'pin pinnumber pinno pinnr pinnum pinid pins pad padnumber padno padnr padname pads terminal terminalno node nodes pinname',
  ),
  role: words('pinname pinfunction function pinlabel pindescription role pinuse'),
  side: words('side layer boardside mountside'),
  value: words('value val comment rating'),
  footprint: words('footprint package pattern case pcbfootprint'),
  partNumber: words('mpn partnumber partno manufacturerpartnumber mfrpartnumber mfgpartnumber'),
};

/** Written in place of a net where there is none. Two such pins are not joined. */
const NO_NET =
  /^(N\.?\/?C\.?|NO[ _-]?(NET|CONNECT|CONNECTION)|NOT[ _-]CONNECTED|UNCONNECTED|NONE|<.*>|\(NONE\)|-+)$/i;

const NO_HEADER = {
  code: 'NO_PIN_COLUMNS',
  message: 'no row of this pin list names its columns',
  hint: 'head the columns "part", "pin" and "net"',
};

/** True when a row heads a pin list: nets, and the pins on them. */
export function headsPinList(row: CsvRow): boolean {
  return columnsOf(row) !== undefined;
}

/** Beside a net a node is a pin; beside a part and a pin it is a net. */
const NODE_IS_NET: Headings<Column> = {
  ...HEADINGS,
  net: [...HEADINGS.net, 'node', 'nodename'],
  pin: HEADINGS.pin.filter((word) => !word.startsWith('node')),
};

function columnsOf(row: CsvRow): Columns<Column> | undefined {
  return [HEADINGS, NODE_IS_NET]
    .map((headings) => findColumns(row, headings))
    .find((columns) => columns.has('net') && columns.has('pin'));
}

/**
 * Reads a pin list: rows of part, pin and net in columns found by their headings, in any order. A
 * list without a column of parts names its pins in full, one or many a row (`GND, R1.2 C3.1`).
 * Separators are `,` `;` tab and `|`.
 */
export class PinListReader implements LineReader<Netlist> {
  readonly #file: string;
  readonly #pins: PinCollector;
  readonly #facts = new Map<string, PartFacts>();
  readonly #warnings: Diagnostic[] = [];
  readonly #table: HeadedTable<Columns<Column>>;
  #records = 0;
  readonly #short = { count: 0, line: 0 };
  readonly #unnamed: string[] = [];
  readonly #unnamedLines: number[] = [];
  #noNet = new Map<string, number>();

  constructor(file: string) {
    this.#file = file;
    this.#pins = new PinCollector(file);
    this.#table = new HeadedTable(file, {
      columnsOf,
      row: (row, columns) => this.#pinRow(row, columns),
      noHeader: NO_HEADER,
    });
  }

  line(text: string, number: number): void {
    this.#table.line(text, number);
  }

  end(): Netlist {
    this.#table.end();
    this.#warnAtEnd();
    const parts = this.#pins
      .parts(
        (net) => net,
        1,
        (code, message, line, hint, text) => this.#warn(code, message, line, hint, text),
      )
      .map((part): NetlistPart => ({ ...part, ...this.#facts.get(part.name) }));
    return {
      file: this.#file,
      form: 'pin list',
      parts,
      records: this.#records,
      warnings: this.#warnings.toSorted((a, b) => (a.place?.line ?? 0) - (b.place?.line ?? 0)),
    };
  }

  #pinRow(row: CsvRow, columns: Columns<Column>): void {
    const cell = (column: Column): string => tidy(row.cells[columns.get(column) ?? -1] ?? '');
    const net = this.#netOf(cell('net'));
    const part = cell('part');
    const pin = cell('pin') || cell('role');
    if (!columns.has('part')) this.#namedInFull(row, pin, net);
    else if (part === '' || pin === '') this.#skip(row);
    else this.#add(row, { part, pin, net }, cell);
  }

  #add(
    row: CsvRow,
    { part, pin, net }: { part: string; pin: string; net: string },
    cell: (column: Column) => string,
  ): void {
    this.#records += 1;
    const role = cell('role');
    const record = { part, pin, net, side: sideOf(cell('side')) };
    this.#pins.add(
      role === '' || role === pin ? record : { ...record, role },
      row.line,
      rowText(row),
    );
    this.#keepFacts(part, cell);
  }

  /** `R1.2`, `U3-14`, several of them with blanks between. */
  #namedInFull(row: CsvRow, cell: string, net: string): void {
    const names = cell.split(/[\s,;]+/).filter((name) => name !== '');
    if (names.length === 0) this.#skip(row);
    for (const name of names) {
      const match = /^(.+)[.-]([^.-]+[+-]?|[+-])$/.exec(name);
      if (!match) {
        if (this.#unnamed.length < 20) this.#unnamed.push(`"${name}"`);
        this.#unnamedLines.push(row.line);
        continue;
      }
      const [, part = '', pin = ''] = match;
      this.#records += 1;
      this.#pins.add({ part, pin, net, side: 'both' }, row.line, rowText(row));
    }
  }

  #netOf(net: string): string {
    if (!NO_NET.test(net)) return net;
    this.#noNet.set(net, (this.#noNet.get(net) ?? 0) + 1);
    return '';
  }

  #keepFacts(part: string, cell: (column: Column) => string): void {
    if (this.#facts.has(part)) return;
    const facts = {
      value: cell('value'),
      footprint: cell('footprint'),
      partNumber: cell('partNumber'),
    };
    const told = Object.entries(facts).filter(([, text]) => text !== '');
    this.#facts.set(part, told.length === 0 ? NOTHING : Object.fromEntries(told));
  }

  #skip({ line }: CsvRow): void {
    this.#short.count += 1;
    if (this.#short.count === 1) this.#short.line = line;
  }

  #warnAtEnd(): void {
    const { count, line } = this.#short;
    if (count > 0) {
      const message = `${counted(count, 'row')} without a part or a pin left out, the first on line ${line}`;
      this.#warn('SHORT_ROW', message, line);
    }
    if (this.#unnamed.length > 0) {
      const [first = 1] = this.#unnamedLines;
      const message = `${counted(this.#unnamedLines.length, 'pin')} left out for want of a part and a pin in the name: ${listed(this.#unnamed)}`;
      this.#warn('PIN_WITHOUT_PART', message, first, 'a pin named in full reads "R1.2"');
    }
    for (const [net, pins] of [...this.#noNet].slice(0, 5)) {
      if (pins < 2) continue;
      const message = `${pins} pins with "${net}" for a net are taken as joined to nothing`;
      this.#warn('NO_NET', message, 1, 'give the net another name if it is one');
    }
  }

  #warn(code: string, message: string, line: number, hint?: string, text?: string): void {
    const width = text === undefined || text === '' ? 1 : text.length;
    const place = { file: this.#file, line, column: 1, endColumn: width + 1 };
    this.#warnings.push({
      code,
      severity: 'warning',
      message,
      place,
      ...(hint === undefined ? {} : { hint }),
    });
  }
}

const NOTHING: PartFacts = {};

function tidy(cell: string): string {
  return /\s\s|[^\S ]/.test(cell) ? cell.replace(/\s+/g, ' ') : cell;
}

function sideOf(cell: string): 'top' | 'bottom' | 'both' {
  if (/^(top|t|front|f\.cu|component|primary|1|l1)\b/i.test(cell)) return 'top';
  return /^(bot|bottom|b|back|b\.cu|solder|secondary)\b/i.test(cell) ? 'bottom' : 'both';
}
