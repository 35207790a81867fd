import type { Raw, RawEntry, RawList, RawText } from './raw.ts';

/** Thrown when a text leaves the plain part of YAML; the full reader then takes over. */
export class NotPlain extends Error {}

const NEWLINE = 10;
const SPACE = 32;
const DOUBLE_QUOTE = 34;
const HASH = 35;
const SINGLE_QUOTE = 39;
const COMMA = 44;
const COLON = 58;
const OPEN_LIST = 91;
const CLOSE_LIST = 93;
const OPEN_MAP = 123;
const CLOSE_MAP = 125;
const END = -1;

/** Characters a plain scalar never begins with here; `-` is looked at by itself. */
const INDICATORS = new Set([...'?:,[]{}#&*!|>\'"%@`'].map((c) => c.charCodeAt(0)));
const MOST_DEPTH = 40;
/** What nearly every board file is made of, each read at one go: a word with a mark right behind it, … */
const WORD = '[A-Za-z0-9_.+/][A-Za-z0-9_.+/-]*';
const BLOCK_WORD = new RegExp(`${WORD}(?=\\n|:[ \\n]|:?$)`, 'y');
const FLOW_WORD = new RegExp(`${WORD}(?=[,\\[\\]{}\\n]|:[ \\n,\\[\\]{}]|:?$)`, 'y');
/** … a key, its colon and one space before something on its line, and a list of two words. */
const KEY = new RegExp(`${WORD}: (?![ #\\n])`, 'y');
const TWO_WORDS = new RegExp(`\\[${WORD}, ${WORD}\\]`, 'y');
const QUOTED = {
  [DOUBLE_QUOTE]: /"[^"\\\n]*"(?!")/y,
  [SINGLE_QUOTE]: /'[^'\\\n]*'(?!')/y,
} as const;
/** YAML wants the colon of a key within 1024 characters. */
const MOST_KEY = 1000;

/**
 * Reads scalars and flow collections (`{a: b}`, `[a, b]`) of the plain part of YAML: scalars on
 * one line, quotes without escapes, comments after a space. `at` is the offset of the next
 * character to read.
 */
export class PlainScanner {
  readonly text: string;
  at = 0;

  constructor(text: string) {
    this.text = text;
  }

  code(offset: number = this.at): number {
    return offset < this.text.length ? this.text.charCodeAt(offset) : END;
  }

  skipSpaces(): void {
    while (this.code() === SPACE) this.at++;
  }

  /** Steps over spaces and a comment up to the line break or the end; anything else is not plain. */
  finishLine(): void {
    const before = this.at;
    this.skipSpaces();
    if (this.code() === HASH && (this.at > before || this.atLineStart())) this.skipComment();
    if (this.code() === NEWLINE) this.at++;
    else if (this.code() !== END) throw new NotPlain();
  }

  atLineStart(): boolean {
    return this.at === 0 || this.code(this.at - 1) === NEWLINE;
  }

  skipComment(): void {
    const end = this.text.indexOf('\n', this.at);
    this.at = end < 0 ? this.text.length : end;
  }

  /** A key and the colon after it, which a space or a line break must follow; stands behind them. */
  key(inFlow: boolean): RawText {
    const start = this.at;
    KEY.lastIndex = start;
    if (KEY.test(this.text)) {
      this.at = KEY.lastIndex;
      const end = this.at - 2;
      if (end - start > MOST_KEY) throw new NotPlain();
      return this.#word(start, end);
    }
    const key = this.scalar(inFlow);
    this.skipSpaces();
    if (this.code() !== COLON || key.value.length > MOST_KEY) throw new NotPlain();
    this.at++;
    const next = this.code();
    if (next !== SPACE && next !== NEWLINE && next !== END) throw new NotPlain();
    return key;
  }

  /** A scalar on one line; leaves `at` behind its last character. */
  scalar(inFlow: boolean): RawText {
    const first = this.code();
    if (first === DOUBLE_QUOTE || first === SINGLE_QUOTE) return this.#quoted(first);
    return this.#unquoted(inFlow);
  }

  /** A doubled quote stands for one quote: an escape of its own, as is anything with a backslash. */
  #quoted(quote: typeof DOUBLE_QUOTE | typeof SINGLE_QUOTE): RawText {
    const start = this.at;
    const pattern = QUOTED[quote];
    pattern.lastIndex = start;
    if (!pattern.test(this.text)) throw new NotPlain();
    const end = pattern.lastIndex;
    this.at = end;
    return { is: 'text', value: this.text.slice(start + 1, end - 1), plain: false, start, end };
  }

  #unquoted(inFlow: boolean): RawText {
    const start = this.at;
    const word = inFlow ? FLOW_WORD : BLOCK_WORD;
    word.lastIndex = start;
    if (word.test(this.text)) {
      const end = word.lastIndex;
      this.at = end;
      return this.#word(start, end);
    }
    this.#checkFirst(inFlow);
    let end = start;
    for (let at = start; ; at++) {
      const code = this.code(at);
      if (code === END || code === NEWLINE) break;
      if (code === SPACE) continue;
      if (code === HASH && this.code(at - 1) === SPACE) break;
      if (code === COLON && this.#endsWord(at + 1, inFlow)) break;
      if (inFlow && isFlowMark(code)) break;
      end = at + 1;
    }
    this.at = end;
    return this.#word(start, end);
  }

  #checkFirst(inFlow: boolean): void {
    const first = this.code();
    const dash = first === 45 && this.#endsWord(this.at + 1, inFlow);
    if (dash || INDICATORS.has(first) || first === NEWLINE || first === END) throw new NotPlain();
  }

  /** What makes a colon end a plain scalar, or a dash be no part of one. */
  #endsWord(offset: number, inFlow: boolean): boolean {
    const code = this.code(offset);
    return code === SPACE || code === NEWLINE || code === END || (inFlow && isFlowMark(code));
  }

  /**
   * A flow collection or a scalar inside one.
   * @param indent  columns that every further line must be indented by, at least
   */
  flowValue(indent: number, depth: number): Raw {
    if (depth > MOST_DEPTH) throw new NotPlain();
    const code = this.text.charCodeAt(this.at);
    if (code === OPEN_LIST) return this.#twoWords() ?? this.#flowList(indent, depth);
    if (code === OPEN_MAP) return this.#flowMap(indent, depth);
    return this.scalar(true);
  }

  #twoWords(): RawList | undefined {
    const start = this.at;
    TWO_WORDS.lastIndex = start;
    if (!TWO_WORDS.test(this.text)) return undefined;
    const end = TWO_WORDS.lastIndex;
    const comma = this.text.indexOf(',', start);
    this.at = end;
    return {
      is: 'list',
      value: [this.#word(start + 1, comma), this.#word(comma + 2, end - 1)],
      start,
      end,
    };
  }

  #word(start: number, end: number): RawText {
    return { is: 'text', value: this.text.slice(start, end), plain: true, start, end };
  }

  #flowList(indent: number, depth: number): Raw {
    const start = this.at++;
    const items: Raw[] = [];
    this.#gap(indent);
    while (!this.#closes(CLOSE_LIST)) {
      items.push(this.flowValue(indent, depth + 1));
      this.#separator(CLOSE_LIST, indent);
    }
    return { is: 'list', value: items, start, end: this.at };
  }

  #flowMap(indent: number, depth: number): Raw {
    const start = this.at++;
    const entries: RawEntry[] = [];
    this.#gap(indent);
    while (!this.#closes(CLOSE_MAP)) {
      const key = this.key(true);
      this.#gap(indent);
      entries.push({ key, value: this.flowValue(indent, depth + 1) });
      this.#separator(CLOSE_MAP, indent);
    }
    return { is: 'map', entries, start, end: this.at };
  }

  /** Steps over the closing bracket, if that is next. */
  #closes(close: number): boolean {
    if (this.text.charCodeAt(this.at) !== close) return false;
    this.at++;
    return true;
  }

  /** A comma with the gaps round it, or up to the closing bracket. */
  #separator(close: number, indent: number): void {
    this.#gap(indent);
    const code = this.text.charCodeAt(this.at);
    if (code === COMMA) {
      this.at++;
      this.#gap(indent);
    } else if (code !== close) throw new NotPlain();
  }

  /** Spaces, line breaks and comments between the items of a flow collection. */
  #gap(indent: number): void {
    const first = this.text.charCodeAt(this.at);
    if (first !== SPACE && first !== NEWLINE) return;
    // Mostly it is one space before a word.
    if (first === SPACE && this.text.charCodeAt(this.at + 1) > HASH) this.at++;
    else this.#wideGap(indent);
  }

  #wideGap(indent: number): void {
    for (;;) {
      const before = this.at;
      this.skipSpaces();
      if (this.code() === HASH && this.at > before) this.skipComment();
      if (this.code() !== NEWLINE) return;
      this.at++;
      const lineStart = this.at;
      this.skipSpaces();
      const code = this.code();
      if (code !== NEWLINE && code !== HASH && this.at - lineStart < indent) throw new NotPlain();
      if (code === HASH) this.skipComment();
    }
  }
}

function isFlowMark(code: number): boolean {
  return (
    code === COMMA ||
    code === OPEN_LIST ||
    code === CLOSE_LIST ||
    code === OPEN_MAP ||
    code === CLOSE_MAP
  );
}
