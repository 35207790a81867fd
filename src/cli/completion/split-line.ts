/** A command line as far as it is typed, taken apart by the quoting rules that shells share. */
export interface TypedLine {
  /** Whole words, and last the one being typed; quotes and backslashes are gone. */
  readonly words: readonly string[];
  /** What stands of the last word on the line, quotes and all. */
  readonly raw: string;
  /** The quote that is open at its end. */
  readonly quote: '"' | "'" | undefined;
}

/** Variables and the like are left as they are: what they stand for only the shell knows. */
export function splitLine(line: string): TypedLine {
  const words: string[] = [];
  let word = '';
  let start = -1;
  let quote: TypedLine['quote'];
  for (let at = 0; at < line.length; at += 1) {
    const letter = line[at] as string;
    if (quote === undefined && /\s/.test(letter)) {
      if (start >= 0) words.push(word);
      word = '';
      start = -1;
      continue;
    }
    if (start < 0) start = at;
    if (quote === undefined && (letter === '"' || letter === "'")) quote = letter;
    else if (letter === quote) quote = undefined;
    else if (letter === '\\' && quote !== "'" && at + 1 < line.length) {
      at += 1;
      word += line[at];
    } else word += letter;
  }
  return { words: [...words, word], raw: start < 0 ? '' : line.slice(start), quote };
}

/** A word as it may stand on a line of the shell: with an open quote before it, or with backslashes. */
export function quotedFor(word: string, quote: TypedLine['quote']): string {
  if (quote === "'") return word.replaceAll("'", "'\\''");
  if (quote === '"') return word.replace(/["\\$`]/g, '\\$&');
  return word.replace(/[^\w@%+=:,./~-]/gu, '\\$&').replace(/^~/, '\\~');
}
