/**
 * What the shells' scripts ask: `completion answer SHELL ...`. One candidate a line, what it is behind
 * a tab; a first line `:files` or `:folders` lets the shell offer its own as well. Nothing is weighed
 * here, and nothing is said of what is wrong: somebody is in the middle of a word.
 */
import { harmless } from '../../board/shown-text.ts';
import { type Candidates, candidatesFor } from './candidates.ts';
import { quotedFor, splitLine } from './split-line.ts';

/** A list longer than this helps nobody, and shells take long over it. */
const MOST = 2000;

export function completionAnswer([shell, ...rest]: readonly string[]): string {
  const lines = shell === 'bash' ? forBash(rest) : plainLines(candidatesFor(rest.map(unquoted)));
  return lines.length === 0 ? '' : `${lines.join('\n')}\n`;
}

/** Zsh and fish give words as they stand on the line, the last one with its quote still open. */
function unquoted(word: string): string {
  return splitLine(word).words.join(' ');
}

function plainLines({ list, also }: Candidates): string[] {
  const words = list.slice(0, MOST).map(({ word, about }) => {
    return about === undefined ? word : `${word}\t${harmless(about)}`;
  });
  return also === undefined ? words : [`:${also}`, ...words];
}

/**
 * Bash cuts words at its own marks (`:`, `=`, `@`) and replaces the last piece alone.
 * @param line up to the cursor
 * @param piece the last piece as bash has cut it
 */
function forBash([line = '', piece = '']: readonly string[]): string[] {
  const { words, raw, quote } = splitLine(line);
  const { list, also } = candidatesFor(words.slice(1));
  const opened = quote === undefined ? raw : raw.slice(raw.lastIndexOf(quote) + 1);
  // What stands before the piece stays on the line.
  const kept = opened.endsWith(piece) ? opened.length - piece.length : 0;
  const offered = list.slice(0, MOST).map(({ word }) => quotedFor(word, quote).slice(kept));
  return also === undefined ? offered : [`:${also}`, ...offered];
}
