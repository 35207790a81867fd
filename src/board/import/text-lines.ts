import { TextDecoder } from 'node:util';
import { InputError } from '../diagnostic.ts';

/** What takes a text line by line and makes something of it at the end. */
export interface LineReader<T> {
  /** @param number  of the line, from 1 */
  line(text: string, number: number): void;
  /** @param lines  how many there were */
  end(lines: number): T;
}

/** A text as it comes: whole, or in pieces of bytes so that a large file never stands in memory. */
export type Pieces = string | Iterable<Uint8Array>;

/** No line of a netlist or a list comes near; what has none is no text for people. */
const LONGEST_LINE = 1 << 20;

/**
 * Feeds a text to a reader, a line at a time. Line ends of every kind count, NULs and a byte order
 * mark do not. Bytes are UTF-8 or, with such a mark, UTF-16; a line that is no UTF-8 is taken as
 * Latin-1, so that names which differ stay different.
 * @throws {InputError} at a line of more than 1 MB, or whatever the reader throws
 */
export function readLines<T>(pieces: Pieces, file: string, reader: LineReader<T>): T {
  const cutter = new LineCutter(file, (text, number) => reader.line(text, number));
  for (const piece of typeof pieces === 'string' ? [Buffer.from(pieces)] : pieces) {
    cutter.push(piece);
  }
  return reader.end(cutter.end());
}

const LF = 10;
const CR = 13;

class LineCutter {
  readonly #file: string;
  readonly #each: (text: string, number: number) => void;
  /** Bytes of a line that is not complete yet. */
  #rest: Buffer = Buffer.alloc(0);
  #lines = 0;
  #wide: TextDecoder | undefined;
  #isBegun = false;
  #mark = LF;

  constructor(file: string, each: (text: string, number: number) => void) {
    this.#file = file;
    this.#each = each;
  }

  push(piece: Uint8Array): void {
    if (this.#isBegun) this.#take(this.#narrow(asBuffer(piece)));
    else {
      // A byte order mark may come in two pieces.
      const first = Buffer.concat([this.#rest, piece]);
      this.#rest = first;
      if (first.length >= 3) this.#begin(first);
    }
  }

  /** @returns how many lines there were */
  end(): number {
    if (!this.#isBegun) this.#begin(this.#rest);
    if (this.#rest.length > 0) this.#cut(this.#rest, 0, this.#rest.length);
    return this.#lines;
  }

  /** Settles by the first bytes how the text is coded and how its lines end. */
  #begin(bytes: Buffer): void {
    this.#isBegun = true;
    this.#rest = Buffer.alloc(0);
    const mark = bytes.length > 1 ? bytes.readUInt16BE(0) : 0;
    if (mark === 0xfffe) this.#wide = new TextDecoder('utf-16le');
    if (mark === 0xfeff) this.#wide = new TextDecoder('utf-16be');
    const text = this.#narrow(bytes);
    if (!text.includes(LF) && text.includes(CR)) this.#mark = CR;
    const isMarked = text.length > 2 && text.readUIntBE(0, 3) === 0xefbbbf;
    this.#take(isMarked ? text.subarray(3) : text);
  }

  /** UTF-8 whatever came in. */
  #narrow(bytes: Buffer): Buffer {
    return this.#wide ? Buffer.from(this.#wide.decode(bytes, { stream: true })) : bytes;
  }

  #take(piece: Buffer): void {
    const bytes = this.#rest.length === 0 ? piece : Buffer.concat([this.#rest, piece]);
    let start = 0;
    for (;;) {
      const end = bytes.indexOf(this.#mark, start);
      if (end < 0) break;
      this.#cut(bytes, start, end);
      start = end + 1;
    }
    if (bytes.length - start > LONGEST_LINE) this.#refuse();
    // A copy: what is handed in may be a buffer that is filled anew.
    this.#rest = Buffer.from(bytes.subarray(start));
  }

  #cut(bytes: Buffer, start: number, end: number): void {
    if (end - start > LONGEST_LINE) this.#refuse();
    const text = decoded(bytes, start, end);
    if (!text.includes('\r')) this.#tell(text);
    else for (const line of text.replace(/\r$/, '').split('\r')) this.#tell(line);
  }

  #tell(text: string): void {
    this.#lines += 1;
    this.#each(text, this.#lines);
  }

  #refuse(): never {
    const place = { file: this.#file, line: this.#lines + 1, column: 1, endColumn: 2 };
    const message = `line ${this.#lines + 1} is longer than 1 MB: this is no text for people`;
    throw new InputError([{ code: 'LONG_LINE', severity: 'error', message, place }]);
  }
}

function asBuffer(bytes: Uint8Array): Buffer {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}

const utf8 = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

function decoded(bytes: Buffer, start: number, end: number): string {
  const plain = bytes.toString('latin1', start, end);
  const tidy = plain.includes('\0') ? plain.replaceAll('\0', '') : plain;
  if (!/[\x80-\xff]/.test(tidy)) return tidy;
  try {
    return utf8.decode(bytes.subarray(start, end)).replaceAll('\0', '');
  } catch {
    return tidy;
  }
}
