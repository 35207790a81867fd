import type { Word } from './words.ts';

/** Takes the colon off a part's name, wherever the blanks around it were put: `Q3: D`, `Q3 :D`. */
export function splitColon(words: readonly Word[]): Word[] {
  const [name, second, ...rest] = words;
  if (name === undefined) return [];
  const at = name.text.indexOf(':');
  if (at < 0) {
    const after = second?.text === ':' ? [] : second === undefined ? [] : [stripColon(second)];
    return [name, ...after, ...rest];
  }
  const head = { text: name.text.slice(0, at), column: name.column };
  const tail = { text: name.text.slice(at + 1), column: name.column + at + 1 };
  return [
    head,
    ...(tail.text === '' ? [] : [tail]),
    ...(second === undefined ? [] : [second]),
    ...rest,
  ];
}

function stripColon(word: Word): Word {
  if (!word.text.startsWith(':')) return word;
  return { text: word.text.slice(1), column: word.column + 1 };
}
