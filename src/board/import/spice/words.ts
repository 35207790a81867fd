/** One word of a deck and where it stands. */
export interface Word {
  readonly text: string;
  readonly line: number;
  /** From 1. */
  readonly column: number;
}

/**
 * Cuts a line of a deck into words. Blanks and commas part them, and so do brackets that do not
 * close within a word: `Q1(c b e)` is four words, but a node may be called `Net-(R1-Pad1)`. What
 * stands in `{}`, `''` or `""` is one word, `key = value` is drawn together, and everything behind
 * `;` or a lone `$` is a comment.
 */
export function wordsOf(text: string, line: number): Word[] {
  // Most lines hold nothing but plain words.
  if (!/[{}'"()=;$]/.test(text)) return plainWords(text, line);
  const words: Word[] = [];
  let at = 0;
  while (at < text.length) {
    if (/[\s,]/.test(text[at] ?? '')) {
      at += 1;
      continue;
    }
    if (text[at] === ';' || isDollarComment(text, at)) break;
    const end = wordEnd(text, at);
    words.push(...unbracketed({ text: text.slice(at, end), line, column: at + 1 }));
    at = end;
  }
  return joined(words);
}

function plainWords(text: string, line: number): Word[] {
  return [...text.matchAll(/[^\s,]+/g)].map((match) => ({
    text: match[0],
    line,
    column: match.index + 1,
  }));
}

/** PSpice names nets `$N_0001`; a comment has a blank behind its mark. */
function isDollarComment(text: string, at: number): boolean {
  return text[at] === '$' && /^(\s|$)/.test(text.slice(at + 1, at + 2));
}

const CLOSING: Readonly<Record<string, string>> = { '{': '}', "'": "'", '"': '"' };

function wordEnd(text: string, start: number): number {
  let at = start;
  while (at < text.length && !/[\s,;]/.test(text[at] ?? '')) {
    const closing = Object.hasOwn(CLOSING, text[at] ?? '') ? CLOSING[text[at] ?? ''] : undefined;
    const end = closing === undefined ? -1 : text.indexOf(closing, at + 1);
    at = end < 0 ? at + 1 : end + 1;
  }
  return at;
}

function unbracketed(word: Word): Word[] {
  const { text } = word;
  if (!/[()]/.test(text) || /^["'{]/.test(text)) return [word];
  const wrapped = /^\(([^()]*)\)$/.exec(text);
  if (wrapped) return wrapped[1] ? [{ ...word, text: wrapped[1], column: word.column + 1 }] : [];
  if (isBalanced(text)) return [word];
  return [...text.matchAll(/[^()]+/g)].map((match) => ({
    ...word,
    text: match[0],
    column: word.column + match.index,
  }));
}

function isBalanced(text: string): boolean {
  let depth = 0;
  for (const letter of text) {
    if (letter === '(') depth += 1;
    if (letter === ')') depth -= 1;
    if (depth < 0) return false;
  }
  return depth === 0;
}

/** `W = 10u`, `W= 10u`, `W =10u` → `W=10u`. */
function joined(words: readonly Word[]): Word[] {
  const out: Word[] = [];
  for (const word of words) {
    const last = out.at(-1);
    if (last && out.length > 1 && (last.text.endsWith('=') || word.text.startsWith('='))) {
      out[out.length - 1] = { ...last, text: last.text + word.text };
    } else out.push(word);
  }
  return out;
}
