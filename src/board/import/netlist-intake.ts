import { InputError } from '../diagnostic.ts';
import { Ipc356Reader } from './ipc356.ts';
import type { Netlist, NetlistForm } from './netlist.ts';
import { netlistForm } from './netlist-form.ts';
import { PinListReader } from './pin-list.ts';
import { DeckReader, type IncludeOpener } from './spice/deck.ts';
import type { LineReader } from './text-lines.ts';

/** Lines looked at before a form is chosen. */
const HEAD_LINES = 200;
const HEAD_LETTERS = 200_000;

/** Reads a netlist of any form: looks at its first lines, then hands all of them to a reader. */
export class NetlistIntake implements LineReader<Netlist> {
  readonly #file: string;
  readonly #open: IncludeOpener | undefined;
  #head: string[] = [];
  #letters = 0;
  #reader: LineReader<Netlist> | undefined;

  /** @param open  opens what a SPICE deck includes; without it nothing is */
  constructor(file: string, open?: IncludeOpener) {
    this.#file = file;
    this.#open = open;
  }

  line(text: string, number: number): void {
    if (this.#reader) this.#reader.line(text, number);
    else {
      this.#head.push(text);
      this.#letters += text.length;
      if (number >= HEAD_LINES || this.#letters > HEAD_LETTERS) this.#choose();
    }
  }

  /** @throws {InputError} when the text is in no form that is read, or what its reader throws */
  end(lines: number): Netlist {
    return (this.#reader ?? this.#choose()).end(lines);
  }

  #choose(): LineReader<Netlist> {
    const form = netlistForm(this.#head, this.#file);
    if (form === undefined) throw noForm(this.#file, this.#head[0] ?? '');
    const reader = this.#readerOf(form);
    for (const [index, text] of this.#head.entries()) reader.line(text, index + 1);
    this.#head = [];
    this.#reader = reader;
    return reader;
  }

  #readerOf(form: NetlistForm): LineReader<Netlist> {
    if (form === 'SPICE') return new DeckReader(this.#file, this.#open);
    return form === 'pin list' ? new PinListReader(this.#file) : new Ipc356Reader(this.#file);
  }
}

function noForm(file: string, first: string): InputError {
  const text = first.slice(0, 200);
  return new InputError([
    {
      code: 'NO_NETLIST',
      severity: 'error',
      message: 'this file is no netlist in a form that is read',
      place: { file, line: 1, column: 1, endColumn: text.length + 1, text },
      hint: 'export it as IPC-D-356, as a SPICE deck, or as a CSV list with the columns part, pin, net',
    },
  ]);
}
