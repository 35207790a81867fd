/** One token of JSON, blanks before it left out. */
const TOKEN =
  /[\t\n\r ]*(?:([{}[\],:])|("[ !#-[\]-\u{10ffff}]*(?:\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4})[ !#-[\]-\u{10ffff}]*)*")|(-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][-+]?\d+)?(?![\w.])|(?:true|false|null)(?!\w)))/uy;

/** What may come next: a value, a key, what follows a value, the colon behind a key. */
type Due = 'value' | 'value or end' | 'key' | 'key or end' | 'colon' | 'comma or end';

/**
 * Offset of the first character at which a text is no JSON; its length when more of it is wanted, or
 * when it is whole. The engine's own message tells no place for most slips.
 */
export function whereJsonBreaks(text: string): number {
  const open: string[] = [];
  let due: Due = 'value';
  let at = 0;
  for (;;) {
    TOKEN.lastIndex = at;
    const match = TOKEN.exec(text);
    if (match === null) return afterBlanks(text, at);
    const [whole, mark = '', word] = match;
    const next: Due | undefined = after(due, mark, word !== undefined, open);
    if (next === undefined) return at + whole.length - (mark + (word ?? match[3] ?? '')).length;
    due = next;
    at += whole.length;
  }
}

function afterBlanks(text: string, at: number): number {
  return at + (/^[\t\n\r ]*/u.exec(text.slice(at))?.[0].length ?? 0);
}

/** What is due after a token; undefined where the token may not stand. Keeps `open` up to date. */
function after(due: Due, mark: string, isText: boolean, open: string[]): Due | undefined {
  const isValueDue = due === 'value' || due === 'value or end';
  switch (mark) {
    case '':
      if (due === 'key' || due === 'key or end') return isText ? 'colon' : undefined;
      return isValueDue ? 'comma or end' : undefined;
    case '{':
    case '[':
      if (!isValueDue) return undefined;
      open.push(mark);
      return mark === '{' ? 'key or end' : 'value or end';
    case '}':
    case ']': {
      const isEnd =
        due === 'comma or end' || due === (mark === '}' ? 'key or end' : 'value or end');
      if (!isEnd || open.at(-1) !== (mark === '}' ? '{' : '[')) return undefined;
      open.pop();
      return 'comma or end';
    }
    case ':':
      return due === 'colon' ? 'value' : undefined;
    default:
      if (due !== 'comma or end' || open.length === 0) return undefined;
      return open.at(-1) === '{' ? 'key' : 'value';
  }
}
