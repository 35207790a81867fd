import { NotPlain, PlainScanner } from './plain-scanner.ts';
import type { Raw, RawEntry } from './raw.ts';

/**
 * Reads the part of YAML that nearly every board file keeps to, about twenty times as fast as the
 * full reader and without loading it: block maps and block lists of scalars and flow collections,
 * scalars on one line, no escapes, no anchors, no tabs. Every command reads a board and the
 * catalogue first, so this is most of the time a person waits for an answer.
 *
 * @returns the same as the full reader gives (a test holds them equal), or undefined for any text
 *   beyond that part, right or wrong; the full reader must then decide
 */
export function readPlain(text: string): Raw | undefined {
  if (BEYOND_PLAIN.test(text)) return undefined;
  try {
    return new BlockReader(text).document();
  } catch (error) {
    if (error instanceof NotPlain) return undefined;
    throw error;
  }
}

/** Control characters and tabs, byte order marks, document marks and directives. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are what it looks for
const BEYOND_PLAIN = /[\0-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\ufeff]|^(?:---|\.\.\.|%)/m;

const MOST_DEPTH = 40;

class BlockReader {
  readonly #scan: PlainScanner;

  constructor(text: string) {
    this.#scan = new PlainScanner(text);
  }

  document(): Raw {
    if (this.#nextIndent() !== 0) throw new NotPlain();
    const map = this.#map(0, 0);
    if (this.#nextIndent() >= 0) throw new NotPlain();
    return map;
  }

  /** Moves to the next line that says something; its indentation, or -1 at the end of the text. */
  #nextIndent(): number {
    const scan = this.#scan;
    for (;;) {
      const lineStart = scan.at;
      scan.skipSpaces();
      const code = scan.code();
      if (code === -1) return -1;
      if (code !== 10 && code !== 35) {
        const indent = scan.at - lineStart;
        scan.at = lineStart;
        return indent;
      }
      scan.skipComment();
      if (scan.code() === 10) scan.at++;
    }
  }

  #map(indent: number, depth: number): Raw {
    if (depth > MOST_DEPTH) throw new NotPlain();
    const entries: RawEntry[] = [];
    while (this.#nextIndent() === indent) {
      this.#scan.at += indent;
      const key = this.#scan.key(false);
      entries.push({ key, value: this.#valueOf(key.end, indent, depth) });
    }
    return spanning('map', entries);
  }

  /** What stands behind a key: on the same line, or as a block on the lines below. */
  #valueOf(keyEnd: number, indent: number, depth: number): Raw {
    const scan = this.#scan;
    scan.skipSpaces();
    const code = scan.code();
    if (code !== 10 && code !== 35 && code !== -1) return this.#lineValue(indent, depth);
    scan.finishLine();
    const below = this.#nextIndent();
    if (below >= indent && this.#startsItem(below)) return this.#list(below, depth + 1);
    if (below > indent && this.#startsFlow(below)) {
      scan.at += below;
      return this.#lineValue(indent, depth);
    }
    if (below > indent) return this.#map(below, depth + 1);
    return { is: 'text', value: '', plain: true, start: keyEnd, end: keyEnd };
  }

  /** A value that begins on its key's line. No line below may belong to it but by brackets. */
  #lineValue(indent: number, depth: number): Raw {
    const scan = this.#scan;
    const code = scan.code();
    const flow = code === 91 || code === 123;
    const value = flow ? scan.flowValue(indent + 1, depth + 1) : scan.scalar(false);
    scan.finishLine();
    if (this.#nextIndent() > indent) throw new NotPlain();
    return value;
  }

  #startsItem(indent: number): boolean {
    const dash = this.#scan.at + indent;
    return this.#scan.code(dash) === 45 && this.#scan.code(dash + 1) === 32;
  }

  #startsFlow(indent: number): boolean {
    const code = this.#scan.code(this.#scan.at + indent);
    return code === 91 || code === 123;
  }

  /** A block list, each item on one line or a flow collection. */
  #list(indent: number, depth: number): Raw {
    if (depth > MOST_DEPTH) throw new NotPlain();
    const items: Raw[] = [];
    const start = this.#scan.at + indent;
    while (this.#nextIndent() === indent && this.#startsItem(indent)) {
      this.#scan.at += indent + 1;
      this.#scan.skipSpaces();
      items.push(this.#lineValue(indent, depth));
    }
    return { is: 'list', value: items, start, end: items.at(-1)?.end ?? start };
  }
}

function spanning(is: 'map', entries: readonly RawEntry[]): Raw {
  const start = entries[0]?.key.start ?? 0;
  return { is, entries, start, end: entries.at(-1)?.value.end ?? start };
}
