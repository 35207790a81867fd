import type { Raw, RawEntry, RawText } from './raw.ts';

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
/** A word without anything that could mean more than itself, and quotes around such text. */
const WORD = /[A-Za-z0-9_.+/][A-Za-z0-9_.+/-]*/y;
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

  /** A key and the colon after it, which a space or a line break must follow. */
  key(inFlow: boolean): RawText {
    const key = this.scalar(inFlow);
    this.skipSpaces();
    if (this.code() !== COLON || key.text.length > MOST_KEY) throw new NotPlain();
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
    return { is: 'text', text: this.text.slice(start + 1, end - 1), plain: false, start, end };
  }

  #unquoted(inFlow: boolean): RawText {
    const start = this.at;
    const wordEnd = this.#endOfWord(inFlow);
    if (wordEnd > start) {
      this.at = wordEnd;
      return {
        is: 'text',
        text: this.text.slice(start, wordEnd),
        plain: true,
        start,
        end: wordEnd,
      };
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
    return { is: 'text', text: this.text.slice(start, end), plain: true, start, end };
  }

  /** Most scalars are one word with a mark right behind it; 0 for all others. */
  #endOfWord(inFlow: boolean): number {
    WORD.lastIndex = this.at;
    if (!WORD.test(this.text)) return 0;
    const end = WORD.lastIndex;
    const code = this.code(end);
    if (code === NEWLINE || code === END || (inFlow && isFlowMark(code))) return end;
    return code === COLON && this.#endsWord(end + 1, inFlow) ? end : 0;
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
    if (this.code() === OPEN_LIST) return this.#flowList(indent, depth);
    if (this.code() === OPEN_MAP) return this.#flowMap(indent, depth);
    return this.scalar(true);
  }

  #flowList(indent: number, depth: number): Raw {
    const start = this.at++;
    const items: Raw[] = [];
    while (this.#more(CLOSE_LIST, indent)) {
      items.push(this.flowValue(indent, depth + 1));
      this.#separator(CLOSE_LIST, indent);
    }
    return { is: 'list', items, start, end: this.at };
  }

  #flowMap(indent: number, depth: number): Raw {
    const start = this.at++;
    const entries: RawEntry[] = [];
    while (this.#more(CLOSE_MAP, indent)) {
      const key = this.key(true);
      this.#gap(indent);
      entries.push({ key, value: this.flowValue(indent, depth + 1) });
      this.#separator(CLOSE_MAP, indent);
    }
    return { is: 'map', entries, start, end: this.at };
  }

  /** True when another item follows; otherwise steps over the closing bracket. */
  #more(close: number, indent: number): boolean {
    this.#gap(indent);
    if (this.code() !== close) return true;
    this.at++;
    return false;
  }

  /** A comma, or the closing bracket without stepping over it. */
  #separator(close: number, indent: number): void {
    this.#gap(indent);
    if (this.code() === COMMA) this.at++;
    else if (this.code() !== close) throw new NotPlain();
  }

  /** Spaces, line breaks and comments between the items of a flow collection. */
  #gap(indent: number): void {
    const first = this.code();
    if (first !== SPACE && first !== NEWLINE) return;
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
