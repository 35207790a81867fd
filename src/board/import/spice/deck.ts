import { type Diagnostic, InputError } from '../../diagnostic.ts';
import { checkSize, type Netlist } from '../netlist.ts';
import { type LineReader, type Pieces, readLines } from '../text-lines.ts';
import { boardOf } from './board-of.ts';
import { deviceMark } from './device-marks.ts';
import { type Element, type Model, placeOf, Scope } from './scope.ts';
import { spiceNumber } from './values.ts';
import { type Word, wordsOf } from './words.ts';

/** A file that a deck includes, opened; or why it is not. */
export type Included =
  | { readonly file: string; readonly pieces: Pieces }
  | { readonly refused: string };

/**
 * Opens what a deck includes.
 * @param path  as the deck writes it, without quotes
 * @param from  the file that includes it
 */
export type IncludeOpener = (path: string, from: string) => Included;

/** Files within files, and files in all; a deck that includes itself ends here. */
const DEEPEST_INCLUDE = 10;
const MOST_INCLUDES = 300;

/** Subcircuits defined within subcircuits. */
const DEEPEST_SCOPE = 30;

/** Lines between these are commands of a simulator, or scrambled. */
const SKIPPED: Readonly<Record<string, RegExp>> = {
  '.CONTROL': /^\.endc/i,
  '.PROT': /^\.unprot/i,
  '.PROTECT': /^\.unprot/i,
  '.DATA': /^\.enddata/i,
  '.ALTER': /^\.end$/i,
};

/** One line of a deck with the lines that continue it. */
interface Statement {
  readonly words: Word[];
  /** Its first line, for messages. */
  readonly text: string;
}

/** Where lines come from: the deck, or a file it includes. */
interface Source {
  readonly file: string;
  readonly depth: number;
  /** Of `.lib file section`: only what stands in that section is read. */
  readonly section?: string;
  inSection: boolean;
  statement: Statement | undefined;
}

/**
 * Reads a SPICE deck for what it joins: one pass over its lines, then the elements are made into
 * parts once all models and subcircuits are known. Upper and lower case are the same, node 0 is
 * ground, and the first line is a title.
 */
export class DeckReader implements LineReader<Netlist> {
  readonly #file: string;
  readonly #open: IncludeOpener | undefined;
  readonly #deck: Scope;
  readonly #globals = new Set<string>();
  readonly #errors: Diagnostic[] = [];
  readonly #warnings: Diagnostic[] = [];
  #scope: Scope;
  #source: Source;
  #title = '';
  #ended: number | undefined;
  #skipTo: RegExp | undefined;
  #includes = 0;
  #elements = 0;
  /** Elements kept; those of parts' models are not. */
  #kept = 0;

  /** @param open  without it nothing is included */
  constructor(file: string, open?: IncludeOpener) {
    this.#file = file;
    this.#open = open;
    this.#deck = new Scope({ name: '', ports: [], line: 1, file, isSized: false });
    this.#scope = this.#deck;
    this.#source = { file, depth: 0, inSection: true, statement: undefined };
  }

  line(text: string, number: number): void {
    if (number === 1) this.#setTitle(text);
    else this.#line(text, number);
  }

  /** @throws {InputError} with every line that cannot be made sense of */
  end(): Netlist {
    this.#flush();
    while (this.#scope.around) {
      const { name, line, file } = this.#scope;
      this.#error(
        'NO_ENDS',
        `subcircuit ${name} has no .ends`,
        { text: name, line, column: 1 },
        file,
        '',
      );
      this.#scope = this.#scope.around;
    }
    if (this.#errors.length > 0) throw new InputError(this.#errors.toSorted(byLine));
    const title = this.#title.replace(/^\s*[*.]?\s*(title\s+)?/i, '').trim();
    const made = boardOf(this.#deck, this.#globals);
    return {
      file: this.#file,
      form: 'SPICE',
      ...(title === '' ? {} : { title }),
      ...made,
      records: this.#elements,
      warnings: [...this.#warnings, ...made.warnings],
    };
  }

  /** By the rule the first line is a title; by mistake it may be a part. */
  #setTitle(text: string): void {
    this.#title = text;
    if (/^\s*\.(?!title)/i.test(text)) {
      this.#line(text, 1);
      return;
    }
    if (!/^[RCLDQMJVX]\w*(\s+[\w+.-]+){2}\s+\S*\d\S*\s*$/i.test(text)) return;
    const word = { text, line: 1, column: 1 };
    const message = 'the first line of a deck is its title, but this one reads like a part';
    this.#warn('TITLE_LIKE_PART', message, word, text, 'put a line of text before it if it is one');
  }

  #line(text: string, number: number): void {
    const first = /\S/.exec(text)?.[0];
    if (first === undefined || first === '*') return;
    if (first === '+') {
      const at = text.indexOf('+');
      this.#source.statement?.words.push(
        ...wordsOf(`${' '.repeat(at + 1)}${text.slice(at + 1)}`, number),
      );
      return;
    }
    this.#flush();
    if (first !== '.' && isDevice(this.#scope)) {
      // What the model of a part is made of joins nothing on the board.
      this.#elements += 1;
      this.#scope.count += 1;
      return;
    }
    const words = wordsOf(text, number);
    if (words.length > 0) this.#source.statement = { words, text };
  }

  #flush(): void {
    const { statement } = this.#source;
    this.#source.statement = undefined;
    if (!statement) return;
    const [head] = statement.words;
    if (!head || this.#isSkipped(head)) return;
    if (head.text.startsWith('.')) this.#card(head, statement);
    else if (this.#ended === undefined && this.#source.inSection) this.#element(head, statement);
    else if (this.#ended === 0) this.#afterEnd(head, statement);
  }

  #isSkipped(head: Word): boolean {
    if (!this.#skipTo) return false;
    if (this.#skipTo.test(head.text)) this.#skipTo = undefined;
    return true;
  }

  /** Once, of what stands behind `.end`. */
  #afterEnd(head: Word, { text }: Statement): void {
    this.#ended = head.line;
    this.#warn('AFTER_END', 'everything behind .end is left out', head, text);
  }

  #card(head: Word, statement: Statement): void {
    const card = head.text.toUpperCase();
    const { words } = statement;
    if (this.#section(card, words)) return;
    if (!this.#source.inSection) return;
    if (Object.hasOwn(SKIPPED, card)) this.#skipTo = SKIPPED[card];
    else if (card === '.END' && this.#source.depth === 0) this.#ended ??= 0;
    else if (this.#ended !== undefined) return;
    else if (card === '.SUBCKT') this.#subcircuit(statement);
    else if (card === '.ENDS' || card === '.EOM') this.#endSubcircuit(head, statement);
    else if (card === '.MACRO') this.#subcircuit(statement);
    else if (card === '.MODEL') this.#model(words);
    else if (card === '.PARAM' || card === '.PARAMS' || card === '.PARAMETER')
      this.#parameters(words.slice(1));
    else if (card === '.GLOBAL')
      for (const { text } of words.slice(1)) this.#globals.add(text.toUpperCase());
    else if (['.INCLUDE', '.INC', '.INCL', '.LIB'].includes(card)) this.#include(head, statement);
  }

  /** `.lib name` … `.endl` within a library marks a section. */
  #section(card: string, words: readonly Word[]): boolean {
    const { section, depth } = this.#source;
    if (card === '.ENDL') {
      if (section !== undefined) this.#source.inSection = false;
      return true;
    }
    const name = words[1]?.text ?? '';
    if (card !== '.LIB' || depth === 0 || words.length !== 2 || /[./\\'"]/.test(name)) return false;
    if (section !== undefined) this.#source.inSection = name.toUpperCase() === section;
    return true;
  }

  #subcircuit({ words, text }: Statement): void {
    const [head, name, ...rest] = words;
    if (!name) {
      if (head) this.#error('NO_NAME', '.subckt has no name', head, this.#source.file, text);
      return;
    }
    const sized = rest.findIndex((word) => word.text.includes('=') || /^params?:/i.test(word.text));
    const ports = (sized < 0 ? rest : rest.slice(0, sized)).map((word) => word.text);
    const scope = new Scope(
      { name: name.text, ports, line: name.line, file: this.#source.file, isSized: sized >= 0 },
      this.#scope,
    );
    const twice = ports.find((port, at) => ports.some((other, i) => i < at && same(other, port)));
    if (twice !== undefined) {
      const word = rest.find((each) => each.text === twice) ?? name;
      this.#error(
        'PORT_TWICE',
        `subcircuit ${name.text} has port "${twice}" twice`,
        word,
        this.#source.file,
        text,
      );
    }
    if (this.#scope.addSubcircuit(scope)) {
      const message = `subcircuit ${name.text} is there twice; the first is used`;
      this.#warn('SUBCIRCUIT_TWICE', message, name, text);
    }
    if (scope.depth > DEEPEST_SCOPE) {
      this.#error(
        'TOO_DEEP',
        'subcircuits within subcircuits, too many',
        name,
        this.#source.file,
        text,
      );
      throw new InputError(this.#errors);
    }
    this.#scope = scope;
    if (sized >= 0) this.#parameters(rest.slice(sized));
  }

  #endSubcircuit(head: Word, { words, text }: Statement): void {
    const name = words[1]?.text;
    const isOpen = this.#scope.around !== undefined;
    const { name: opened, line } = this.#scope;
    if (isDevice(this.#scope)) {
      this.#kept -= this.#scope.elements.length;
      this.#scope.elements.length = 0;
    }
    this.#scope = this.#scope.around ?? this.#deck;
    if (isOpen && (name === undefined || same(name, opened))) return;
    const message = isOpen
      ? `.ends ${name} closes no subcircuit; "${opened}" is open since line ${line}`
      : '.ends closes no subcircuit';
    this.#error('STRAY_ENDS', message, words[1] ?? head, this.#source.file, text);
  }

  #model(words: readonly Word[]): void {
    const [, name, type, ...rest] = words.map((word) => word.text);
    if (name === undefined || type === undefined) return;
    const breakdown = rest
      .map((word) => /^BV=(.*)$/i.exec(word)?.[1])
      .find((word) => word !== undefined);
    const volts = breakdown === undefined ? undefined : spiceNumber(breakdown);
    const model: Model = {
      name,
      type: type.toUpperCase().replace(/\(.*$/, ''),
      isPChannel: rest.some((word) => /^PCHAN(=1)?$/i.test(word)),
      ...(volts === undefined ? {} : { breakdown: volts }),
    };
    this.#scope.addModel(model);
    if (this.#scope.around) this.#scope.device ??= 'it has models of its own';
  }

  #parameters(words: readonly Word[]): void {
    for (const { text } of words) {
      const match = /^([A-Za-z_]\w*)=(.+)$/.exec(text);
      if (match) this.#scope.parameters.set(match[1] ?? '', match[2] ?? '');
    }
  }

  #element(head: Word, statement: Statement): void {
    const scope = this.#scope;
    this.#elements += 1;
    scope.count += 1;
    const words = statement.words.slice(1).map((word) => word.text);
    const element: Element = { name: head.text, words, line: head.line, file: this.#source.file };
    if (scope.around) scope.device ??= deviceMark(element);
    const wrong = tooFewNodes(element);
    if (wrong !== undefined && !isDevice(scope)) {
      this.#error(
        'TOO_FEW_NODES',
        wrong,
        head,
        this.#source.file,
        statement.text,
        'a node and a value may be missing',
      );
    }
    if (isDevice(scope)) return;
    this.#kept += 1;
    checkSize(this.#file, head.line, { parts: this.#kept, pins: 0 });
    scope.elements.push(element);
  }

  #include(head: Word, statement: Statement): void {
    const [, path, section] = statement.words;
    if (!path) return;
    const name = path.text.replace(/^["']|["']$/g, '');
    const opened = this.#opened(name);
    if ('refused' in opened) {
      const message = `${head.text} "${name}" is not read: ${opened.refused}`;
      this.#warn(
        'NOT_INCLUDED',
        message,
        path,
        statement.text,
        'what it defines is told by name, if at all',
      );
      return;
    }
    const outer = this.#source;
    this.#source = {
      file: opened.file,
      depth: outer.depth + 1,
      inSection: section === undefined,
      statement: undefined,
      ...(section === undefined ? {} : { section: section.text.toUpperCase() }),
    };
    readLines(opened.pieces, opened.file, {
      line: (text, number) => this.#line(text, number),
      end: () => this.#flush(),
    });
    this.#source = outer;
  }

  #opened(name: string): Included {
    if (!this.#open) return { refused: 'a deck that is piped in has no folder of its own' };
    if (this.#source.depth >= DEEPEST_INCLUDE) {
      return { refused: `files lie within files ${DEEPEST_INCLUDE} deep` };
    }
    this.#includes += 1;
    if (this.#includes > MOST_INCLUDES) return { refused: `there are more than ${MOST_INCLUDES}` };
    return this.#open(name, this.#source.file);
  }

  #error(
    code: string,
    message: string,
    word: Word,
    file: string,
    text: string,
    hint?: string,
  ): void {
    if (this.#errors.length >= 50) return;
    const base = { code, severity: 'error' as const, message, place: placeOf(word, file, text) };
    this.#errors.push(hint === undefined ? base : { ...base, hint });
  }

  #warn(code: string, message: string, word: Word, text: string, hint?: string): void {
    if (this.#warnings.length >= 200) return;
    const place = placeOf(word, this.#source.file, text);
    const base = { code, severity: 'warning' as const, message, place };
    this.#warnings.push(hint === undefined ? base : { ...base, hint });
  }
}

/** What is found out at the end stands among the rest; files keep the order they were read in. */
function byLine(a: Diagnostic, b: Diagnostic): number {
  return a.place?.file === b.place?.file ? (a.place?.line ?? 0) - (b.place?.line ?? 0) : 0;
}

function same(a: string, b: string): boolean {
  return a.toUpperCase() === b.toUpperCase();
}

function isDevice(scope: Scope | undefined): boolean {
  return scope !== undefined && (scope.device !== undefined || isDevice(scope.around));
}

/** Nodes that must stand behind the name, by its first letter. */
const LEAST_NODES: Readonly<Record<string, number>> = {
  R: 2,
  C: 2,
  L: 2,
  D: 2,
  V: 2,
  I: 2,
  Q: 3,
  M: 3,
  J: 3,
  Z: 3,
  E: 2,
  G: 2,
  F: 2,
  H: 2,
  B: 2,
  S: 4,
  W: 2,
  T: 4,
};

function tooFewNodes({ name, words }: Element): string | undefined {
  const letter = name.charAt(0).toUpperCase();
  const least = LEAST_NODES[letter];
  if (least === undefined) return undefined;
  const nodes = words.filter((word) => !word.includes('=')).length;
  return nodes < least ? `${name} needs ${least} nodes, and has ${nodes}` : undefined;
}
