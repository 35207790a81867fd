/**
 * Reads what the record's own writer writes, flow style on one line with JSON's quoting, without the
 * YAML reader: that takes longer to load than most jobs take to read. Anything else is left to it, and
 * nothing is read here that it would read otherwise.
 */

const ITEM =
  /(?:("(?:[^"\\]|\\.)*")|(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d+)?Z)|(-?(?:0|[1-9]\d{0,14})(?:\.\d{1,20})?(?:e[-+]?\d{1,3})?)|(true|false))(?=[,\]}])/y;
const KEY = /(?:([A-Za-z][\w-]*)|("(?:[^"\\]|\\.)*")): /y;

/** The map in `- {…}`; undefined where a line is not just as the writer would write it. */
export function readFlowLine(line: string): Readonly<Record<string, unknown>> | undefined {
  if (!line.startsWith('- {')) return undefined;
  const reader = new FlowReader(line, 2);
  const value = reader.value(0);
  return reader.at === line.length && isMap(value) ? value : undefined;
}

function isMap(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** Deeper than any event; a stack has its limits. */
const DEEPEST = 20;

class FlowReader {
  at: number;
  readonly #text: string;

  constructor(text: string, at: number) {
    this.#text = text;
    this.at = at;
  }

  /** Undefined, for the whole line, where anything is not as expected. */
  value(depth: number): unknown {
    if (depth > DEEPEST) return undefined;
    if (this.#takes('{')) return this.#map(depth);
    if (this.#takes('[')) return this.#list(depth);
    ITEM.lastIndex = this.at;
    const [whole = '', quoted, time, number, flag] = ITEM.exec(this.#text) ?? [];
    if (whole === '') return undefined;
    this.at += whole.length;
    if (quoted !== undefined) return unquoted(quoted);
    if (time !== undefined) return time;
    return number === undefined ? flag === 'true' : Number(number);
  }

  #map(depth: number): Readonly<Record<string, unknown>> | undefined {
    const entries = new Map<string, unknown>();
    if (this.#takes('}')) return {};
    do {
      KEY.lastIndex = this.at;
      const [whole = '', plain, quoted = ''] = KEY.exec(this.#text) ?? [];
      this.at += whole.length;
      const key = whole === '' ? undefined : (plain ?? unquoted(quoted));
      if (key === undefined || entries.has(key)) return undefined;
      const value = this.value(depth + 1);
      if (value === undefined) return undefined;
      entries.set(key, value);
    } while (this.#takes(', '));
    return this.#takes('}') ? Object.fromEntries(entries) : undefined;
  }

  #list(depth: number): readonly unknown[] | undefined {
    const items: unknown[] = [];
    if (this.#takes(']')) return items;
    do {
      const value = this.value(depth + 1);
      if (value === undefined) return undefined;
      items.push(value);
    } while (this.#takes(', '));
    return this.#takes(']') ? items : undefined;
  }

  #takes(mark: string): boolean {
    if (!this.#text.startsWith(mark, this.at)) return false;
    this.at += mark.length;
    return true;
  }
}

/** What JSON lets through and YAML reads otherwise is left to the YAML reader. */
function unquoted(text: string): string | undefined {
  if (/[\u007f-\u009f\u2028\u2029\ufeff\ufffe\uffff]|\p{Cs}/u.test(text)) return undefined;
  try {
    return JSON.parse(text) as string;
  } catch {
    return undefined;
  }
}
