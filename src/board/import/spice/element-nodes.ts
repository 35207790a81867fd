import type { Element, Model, Scope } from './scope.ts';

/** The nodes of an element by the names of its pins, and the word that says what it is. */
export interface Joined {
  readonly pins: readonly (readonly [pin: string, node: string])[];
  /** A model, a subcircuit or a value, as written. */
  readonly what: string;
  /** Words behind that. */
  readonly rest: readonly string[];
  readonly model?: Model;
  readonly doubts: readonly string[];
}

/** Pins by letter, in the order of the nodes; the optional fourth one last. */
const PINS: Readonly<
  Record<string, { readonly names: readonly string[]; readonly optional?: string }>
> = {
  R: { names: ['1', '2'] },
  C: { names: ['1', '2'] },
  L: { names: ['1', '2'] },
  V: { names: ['+', '-'] },
  I: { names: ['+', '-'] },
  D: { names: ['A', 'K'] },
  Q: { names: ['C', 'B', 'E'], optional: 'substrate' },
  M: { names: ['D', 'G', 'S'], optional: 'body' },
  J: { names: ['D', 'G', 'S'] },
  Z: { names: ['D', 'G', 'S'] },
  B: { names: ['+', '-'] },
  F: { names: ['+', '-'] },
  H: { names: ['+', '-'] },
  W: { names: ['+', '-'] },
  E: { names: ['+', '-', 'control+', 'control-'] },
  G: { names: ['+', '-', 'control+', 'control-'] },
  S: { names: ['+', '-', 'control+', 'control-'] },
  T: { names: ['1', '2', '3', '4'] },
};

/** Words behind the first two nodes of a source that is controlled by a formula, not by two nodes. */
const FORMULA = /^(POLY|VALUE|TABLE|LAPLACE|FREQ|CHEBYSHEV|VOL|CUR|MAX|MIN|\{|')/i;

/** What an element joins; undefined for a letter whose nodes cannot be told. */
export function joinedBy(element: Element, scope: Scope): Joined | undefined {
  const letter = element.name.charAt(0).toUpperCase();
  const form = Object.hasOwn(PINS, letter) ? PINS[letter] : undefined;
  if (!form) return undefined;
  const words = element.words;
  const isFormula = (letter === 'E' || letter === 'G') && FORMULA.test(words[2] ?? '');
  const names = isFormula ? form.names.slice(0, 2) : form.names;
  const extra = form.optional === undefined ? undefined : optionalNode(words, names.length, scope);
  const count = names.length + (extra?.isThere === true ? 1 : 0);
  const pinNames = extra?.isThere === true ? [...names, form.optional ?? ''] : names;
  const pins = pinNames.flatMap((name, at) => {
    const node = words[at];
    return node === undefined || node.includes('=') ? [] : [[name, node] as const];
  });
  const [what = '', ...rest] = words.slice(count);
  const model = 'QMJZD'.includes(letter) ? scope.model(what) : undefined;
  return {
    pins,
    what,
    rest,
    doubts: extra?.doubts ?? [],
    ...(model === undefined ? {} : { model }),
  };
}

/**
 * Whether a fourth node stands before the model of a transistor. The line alone does not tell: it
 * is told by which word is a model of the deck, else by how many words there are.
 */
function optionalNode(
  words: readonly string[],
  least: number,
  scope: Scope,
): { isThere: boolean; doubts: readonly string[] } {
  const [three, four] = [words[least], words[least + 1]];
  if (three !== undefined && scope.model(three) !== undefined)
    return { isThere: false, doubts: [] };
  if (four !== undefined && scope.model(four) !== undefined) return { isThere: true, doubts: [] };
  if (four === undefined || four.includes('=') || /^([\d.+-]|OFF$)/i.test(four)) {
    return { isThere: false, doubts: [] };
  }
  const doubt = `its model "${four}" is not in the deck: "${three}" before it is taken as a node`;
  return { isThere: true, doubts: [doubt] };
}

/** The nodes of a call and what it calls: the last word before any that sets a parameter. */
export function calledBy(element: Element): {
  nodes: readonly string[];
  name: string;
  sized: readonly string[];
} {
  const end = element.words.findIndex((word) => word.includes('=') || /^params?:/i.test(word));
  const plain = end < 0 ? element.words : element.words.slice(0, end);
  const sized = end < 0 ? [] : element.words.slice(end);
  return { nodes: plain.slice(0, -1), name: plain.at(-1) ?? '', sized };
}
