import type { CST } from 'yaml';

/** Deeper than any file of ours; each level costs the composer of YAML some stack. */
const DEEPEST = 100;

/** True of a text that nests deeper than any file of ours; see {@link tooDeepAt}. */
export function nestsTooDeep(text: string, parse: (text: string) => Iterable<CST.Token>): boolean {
  if (!mayNestTooDeep(text)) return false;
  try {
    return tooDeepAt(parse(text)) !== undefined;
  } catch (error) {
    if (error instanceof RangeError) return true;
    throw error;
  }
}

/**
 * Where a text nests deeper than any file of ours, as an offset; undefined where it nowhere does.
 *
 * Asked before anything is made of the tokens: what makes nodes of them calls itself for each level,
 * and at the end of the stack Node may not throw but stop dead.
 * @param tokens  what the parser of YAML makes of the text, which calls itself for nothing
 */
export function tooDeepAt(tokens: Iterable<CST.Token>): number | undefined {
  const open: (readonly [token: CST.Token, depth: number])[] = [];
  for (const token of tokens) open.push([token, 0]);
  for (let next = open.pop(); next !== undefined; next = open.pop()) {
    const [token, depth] = next;
    if (depth > DEEPEST) return token.offset;
    for (const inner of innerOf(token)) open.push([inner, depth + 1]);
  }
  return undefined;
}

function innerOf(token: CST.Token): CST.Token[] {
  if (token.type === 'document') return token.value ? [token.value] : [];
  if (!('items' in token)) return [];
  return token.items.flatMap(({ key, value }) => [
    ...(key ? [key] : []),
    ...(value ? [value] : []),
  ]);
}

/** False for texts that cannot nest too deep, whatever they hold: most of them, and at no cost. */
function mayNestTooDeep(text: string): boolean {
  const openers = text.match(/[[{]|[-?:](?=\s|$)/g);
  return openers !== null && openers.length > DEEPEST;
}
