import type { Diagnostic, Place } from '../diagnostic.ts';
import { PinCollector } from './collect-pins.ts';
import { readTestRecord, type TestRecord } from './ipc356-record.ts';
import type { Netlist } from './netlist.ts';
import { counted, listed } from './say.ts';
import { type LineReader, readLines } from './text-lines.ts';

/** mm per count of X and Y, by the value of UNITS. */
const MM_PER_COUNT: ReadonlyMap<string, number> = new Map([
  ['CUST', 0.00254],
  ['CUST 0', 0.00254],
  ['CUST 1', 0.001],
  ['CUST 2', 0.00254],
  ['SI', 0.001],
]);

const GEOMETRY: ReadonlySet<string> = new Set(
  '099 088 309 370 070 380 080 378 078 379 079 389 089 390 090'.split(' '),
);

/** Letters that fit the net field of a record. */
const NET_COLUMNS = 14;

/** More codes than these are no netlist. */
const MOST_CODES = 100;

/** Test records whose net is this name touch nothing else. */
const NOT_CONNECTED = /^N\/C$/i;

/** Reads a whole text by {@link Ipc356Reader}. */
export function readIpc356(text: string, file: string): Netlist {
  return readLines(text, file, new Ipc356Reader(file));
}

/**
 * Reads an IPC-D-356 or 356A netlist in one pass: parts, pins, nets, and positions in mm.
 *
 * Whatever it cannot use it counts or warns of, with line numbers. Long net names are resolved by
 * both conventions in use, alias alone and keyword plus alias.
 */
export class Ipc356Reader implements LineReader<Netlist> {
  readonly #file: string;
  readonly #warnings: Diagnostic[] = [];
  readonly #aliases = new Map<string, string>();
  readonly #unknown = new Map<string, { count: number; line: number; text: string }>();
  readonly #pins: PinCollector;
  readonly #skipped = {
    vias: 0,
    toolingHoles: 0,
    withoutPart: 0,
    continuations: 0,
    geometry: 0,
  };
  #mmPerCount = 0.00254;
  #title: string | undefined;
  #records = 0;
  #images = 0;
  #endLine = 0;
  #afterEnd = 0;

  constructor(file: string) {
    this.#file = file;
    this.#pins = new PinCollector(file);
  }

  line(text: string, number: number): void {
    this.#line(text.trimEnd(), number);
  }

  end(lines: number): Netlist {
    this.#warnAtEnd(lines);
    const parts = this.#pins.parts(
      (net) => this.#resolve(net),
      this.#mmPerCount,
      (code, message, line, hint, text) => this.#warn(code, message, line, hint, text),
    );
    return {
      file: this.#file,
      form: 'IPC-D-356',
      ...(this.#title === undefined ? {} : { title: this.#title }),
      parts,
      records: this.#records,
      skipped: this.#skipped,
      warnings: this.#warnings.toSorted((a, b) => (a.place?.line ?? 0) - (b.place?.line ?? 0)),
    };
  }

  #line(line: string, number: number): void {
    if (line === '') return;
    if (this.#endLine > 0) {
      this.#afterEnd += 1;
      return;
    }
    const code = line.slice(0, 3).trimEnd();
    if (code === '999') this.#endLine = number;
    else if (code === 'P') this.#parameter(line, number);
    else if (code === 'C') this.#alias(line.slice(1).trim(), line, number);
    else if (code === '317' || code === '327' || code === '307') this.#test(line, number);
    else if (code === '367') this.#skipped.toolingHoles += 1;
    else if (code === '017' || code === '027') this.#skipped.continuations += 1;
    else if (GEOMETRY.has(code)) this.#skipped.geometry += 1;
    else this.#countUnknown(code, line, number);
  }

  #parameter(line: string, number: number): void {
    const rest = line.slice(1).trim();
    if (this.#alias(rest, line, number)) return;
    const [, keyword = '', value = ''] = /^(\S+)\s*(.*)$/.exec(rest) ?? [];
    if (keyword === 'UNITS') this.#units(value, line, number);
    else if (keyword === 'TITLE' || (keyword === 'JOB' && this.#title === undefined)) {
      if (value !== '') this.#title = value;
    } else if (keyword === 'IMAGE') this.#image(line, number);
  }

  /** Registers a long name under both forms its alias takes in the records. */
  #alias(rest: string, line: string, number: number): boolean {
    const match = /^NNAME\s?(\S+)\s+(\S.*)$/.exec(rest);
    if (!match) return false;
    const [, key = '', name = ''] = match;
    const known = this.#aliases.get(key);
    if (known !== undefined && known !== name) {
      const message = `long name ${key} is given twice, as "${known}" and as "${name}"; the last is used for all of the file`;
      this.#warn('ALIAS_TWICE', message, number, undefined, line);
    }
    this.#aliases.set(key, name);
    this.#aliases.set(`NNAME${key}`, name);
    return true;
  }

  #units(value: string, line: string, number: number): void {
    const known = MM_PER_COUNT.get(value.trim().replace(/\s+/g, ' ').toUpperCase());
    if (known !== undefined) this.#mmPerCount = known;
    else {
      this.#warn(
        'UNKNOWN_UNITS',
        `units "${value}" are not known; positions are read as 0.0001 inch`,
        number,
        'nets and pins are not touched by this; check the positions',
        line,
      );
    }
  }

  #image(line: string, number: number): void {
    this.#images += 1;
    if (this.#images !== 2) return;
    this.#warn(
      'SEVERAL_IMAGES',
      'the file describes more than one board image; records of all of them are read as one board',
      number,
      undefined,
      line,
    );
  }

  #test(line: string, number: number): void {
    this.#records += 1;
    const record = readTestRecord(line);
    if (record.part.toUpperCase() === 'VIA') this.#skipped.vias += 1;
    else if (record.part === '') this.#skipped.withoutPart += 1;
    else {
      const net = NOT_CONNECTED.test(record.net) ? '' : record.net;
      this.#pins.add({ ...record, net, side: sideOf(record) }, number, line);
    }
  }

  /**
   * `NNAME1` is the alias 1; a bare `1` is too where records use nothing else for it, but beside
   * `NNAME1` it is a net of that name.
   */
  #resolve(net: string): string {
    const name = this.#aliases.get(net);
    return name === undefined || this.#pins.hasNet(`NNAME${net}`) ? net : name;
  }

  #countUnknown(code: string, line: string, number: number): void {
    const seen = this.#unknown.get(code);
    if (seen) seen.count += 1;
    else if (this.#unknown.size < MOST_CODES)
      this.#unknown.set(code, { count: 1, line: number, text: line });
  }

  #warnAtEnd(lines: number): void {
    this.#warnOfNames();
    for (const [code, { count, line, text }] of [...this.#unknown].slice(0, 20)) {
      const times = count === 1 ? '1 line' : `${count} lines`;
      this.#warn(
        'UNKNOWN_RECORD',
        `${times} with record code "${code}" left out`,
        line,
        undefined,
        text,
      );
    }
    if (this.#endLine === 0) {
      this.#warn('NO_END', 'the file has no 999 record at its end: it may be cut short', lines);
    } else if (this.#afterEnd > 0) {
      this.#warn(
        'AFTER_END',
        `${this.#afterEnd} lines after the 999 record left out`,
        this.#endLine,
      );
    }
  }

  #warnOfNames(): void {
    const names = [...this.#pins.nets()].filter((net) => !this.#aliases.has(net));
    const lost = names.filter((net) => /^NNAME\S/.test(net));
    if (lost.length > 0) {
      const message = `no line gives the long name of ${listed(lost)}`;
      this.#warn('NO_LONG_NAME', message, 1, 'the nets are right, their names are not');
    }
    const full = names.filter((net) => net.length === NET_COLUMNS && !lost.includes(net));
    if (full.length === 0) return;
    this.#warn(
      'NAMES_CUT',
      `${counted(full.length, 'net name')} of ${NET_COLUMNS} letters, all that fit a record, may be cut short`,
      1,
      'two nets whose names were cut alike would read as one',
    );
  }

  #warn(code: string, message: string, line: number, hint?: string, text?: string): void {
    const place: Place = {
      file: this.#file,
      line,
      column: 1,
      endColumn: Math.max(2, (text?.length ?? 0) + 1),
      ...(text === undefined ? {} : { text }),
    };
    this.#warnings.push({
      code,
      severity: 'warning',
      message,
      place,
      ...(hint === undefined ? {} : { hint }),
    });
  }
}

function sideOf(record: TestRecord): 'top' | 'bottom' | 'both' {
  if (record.drilled || record.access === '00' || record.access === '') return 'both';
  return record.access === '01' ? 'top' : 'bottom';
}
