/** Just enough of a reader of HTML to hold the sheet to: it must be well-formed as XML is. */
export interface Markup {
  /** Names of all elements, in order. */
  readonly elements: readonly string[];
  /** Texts between tags, decoded; those of the style sheet left out. */
  readonly texts: readonly string[];
  readonly attributes: readonly {
    readonly on: string;
    readonly name: string;
    readonly value: string;
  }[];
}

const VOID = new Set(['meta', 'img']);
const TOKEN = /<!DOCTYPE html>|<(\/?)([a-z0-9]+)((?:\s+[\w-]+(?:="[^"<]*")?)*)\s*(\/?)>|([^<]+)/gy;
const ENTITY: Readonly<Record<string, string>> = {
  amp: '&',
  lt: '<',
  gt: '>',
  quot: '"',
  '#39': "'",
};

/** @throws {Error} where the markup is not well-formed */
export function readMarkup(html: string): Markup {
  const open: string[] = [];
  const elements: string[] = [];
  const texts: string[] = [];
  const attributes: { on: string; name: string; value: string }[] = [];
  let at = 0;
  TOKEN.lastIndex = 0;
  for (let token = TOKEN.exec(html); token !== null; token = TOKEN.exec(html)) {
    at = TOKEN.lastIndex;
    const [, close, name, rest = '', isEmpty, text] = token;
    if (text !== undefined) {
      if (open.at(-1) !== 'style' && text.trim() !== '') texts.push(decode(text).trim());
    } else if (name !== undefined && close === '/') {
      const last = open.pop();
      if (last !== name) throw new Error(`</${name}> closes <${last ?? 'nothing'}>`);
    } else if (name !== undefined) {
      elements.push(name);
      for (const [, key = '', value = ''] of rest.matchAll(/([\w-]+)="([^"]*)"/g)) {
        attributes.push({ on: name, name: key, value: decode(value) });
      }
      if (isEmpty === '' && VOID.has(name)) throw new Error(`<${name}> is not closed`);
      if (isEmpty === '') open.push(name);
    }
  }
  if (at !== html.length) throw new Error(`no markup: ${html.slice(at, at + 60)}`);
  if (open.length > 0) throw new Error(`left open: ${open.join(' ')}`);
  return { elements, texts, attributes };
}

function decode(text: string): string {
  if (/&(?!(?:amp|lt|gt|quot|#39);)/.test(text)) throw new Error(`a bare & in ${text}`);
  return text.replace(/&(#?\w+);/g, (_, name: string) => ENTITY[name] ?? '?');
}
