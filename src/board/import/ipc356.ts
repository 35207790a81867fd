import type { Diagnostic, Place } from '../diagnostic.ts';
import { PinCollector } from './collect-pins.ts';
import { readTestRecord } from './ipc356-record.ts';
import type { Netlist } from './netlist.ts';

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

/** Longer than the 58 columns the format gives a name; a guard against runaway lines. */
const LONGEST_NAME = 180;

/** Test records whose net is this name touch nothing else. */
const NOT_CONNECTED = /^N\/C$/i;

/**
 * Reads an IPC-D-356 or 356A netlist in one pass: parts, pins, nets, and positions in mm.
 *
 * Never throws: whatever it cannot use it counts or warns of, with line numbers. Long net names are
 * resolved by both conventions in use, alias alone and keyword plus alias.
 */
export function readIpc356(text: string, file: string): Netlist {
  return new Reader(file).read(text);
}

class Reader {
  readonly #file: string;
  readonly #warnings: Diagnostic[] = [];
  readonly #aliases = new Map<string, string>();
  readonly #unknown = new Map<string, { count: number; line: number; text: string }>();
  readonly #pins = new PinCollector();
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
  }

  read(text: string): Netlist {
    let number = 0;
    for (const raw of text.replace(/^\uFEFF/, '').split(/\r\n|\r|\n/)) {
      number += 1;
      this.#line(raw.replaceAll('\0', '').trimEnd(), number);
    }
    this.#warnAtEnd(number);
    const parts = this.#pins.parts(
      (net) => this.#resolve(net),
      this.#mmPerCount,
      (code, message, line, hint) => this.#warn(code, message, line, hint),
    );
    return {
      file: this.#file,
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
    else if (code === 'C') this.#alias(line.slice(1).trim());
    else if (code === '317' || code === '327' || code === '307') this.#test(line, number);
    else if (code === '367') this.#skipped.toolingHoles += 1;
    else if (code === '017' || code === '027') this.#skipped.continuations += 1;
    else if (GEOMETRY.has(code)) this.#skipped.geometry += 1;
    else this.#countUnknown(code, line, number);
  }

  #parameter(line: string, number: number): void {
    const rest = line.slice(1).trim();
    if (this.#alias(rest)) return;
    const [, keyword = '', value = ''] = /^(\S+)\s*(.*)$/.exec(rest) ?? [];
    if (keyword === 'UNITS') this.#units(value, line, number);
    else if (keyword === 'TITLE' || (keyword === 'JOB' && this.#title === undefined)) {
      if (value !== '') this.#title = value;
    } else if (keyword === 'IMAGE') this.#image(line, number);
  }

  /** Registers a long name under both forms its alias takes in the records. */
  #alias(rest: string): boolean {
    const match = /^NNAME\s?(\S+)\s+(\S.*)$/.exec(rest);
    if (!match) return false;
    const [, key = '', name = ''] = match;
    const kept = name.slice(0, LONGEST_NAME);
    this.#aliases.set(key, kept);
    this.#aliases.set(`NNAME${key}`, kept);
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
      this.#pins.add({ ...record, net }, number, line);
    }
  }

  #resolve(net: string): string {
    return this.#aliases.get(net) ?? net;
  }

  #countUnknown(code: string, line: string, number: number): void {
    const seen = this.#unknown.get(code);
    if (seen) seen.count += 1;
    else this.#unknown.set(code, { count: 1, line: number, text: line });
  }

  #warnAtEnd(lines: number): void {
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
