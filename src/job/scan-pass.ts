/** `pass P48 GND because no room for the probe`: a step that is not taken now, taken apart. */
import { splitColon } from './split-colon.ts';
import { type Line, refuse, type Word } from './words.ts';

/** The step in the words of the line that would record it, without a value or a finding. */
export type PassedWords =
  | { readonly do: 'read'; readonly off?: Word; readonly red: Word; readonly black: Word }
  | { readonly do: PassedVerb; readonly verb: Word; readonly names: readonly Word[] }
  | { readonly do: 'look'; readonly verb: Word; readonly names: readonly Word[] };

/** A step that is not taken now, and why. */
export interface ScannedPass {
  readonly do: 'pass';
  readonly step: PassedWords;
  readonly text: string;
}

type PassedVerb = 'lift' | 'remove' | 'refit' | 'replace' | 'reflow';

const VERBS: ReadonlySet<string> = new Set<PassedVerb | 'look'>([
  'lift',
  'remove',
  'refit',
  'replace',
  'reflow',
  'look',
]);

const BECAUSE = 'because';
const EXAMPLES =
  'e.g. pass P48 GND because no room for the probes, pass remove Q3 Q4 because the iron is away';

/** @throws {InputError} when it names no step, or no reason */
export function scanPass(line: Line, pass: Word, words: readonly Word[]): ScannedPass {
  const [first, ...rest] = words;
  const verb = first?.text.toLowerCase() ?? '';
  if (first === undefined) return missing(line, [pass], 'what is passed over');
  if (isVerb(verb)) {
    const at = rest.findIndex(isBecause);
    const names = at < 0 ? rest.slice(0, 1) : rest.slice(0, at);
    if (names.length === 0) return missing(line, words, `what "${first.text}" is about`);
    const step = { do: verb, verb: first, names } as const;
    return { do: 'pass', step, text: reason(line, rest.slice(names.length)) };
  }
  const named: readonly (Word | undefined)[] =
    verb === 'off' ? splitColon(rest) : [undefined, ...words];
  const [off, red, black] = named;
  if (red === undefined || black === undefined) return missing(line, words, 'two points');
  const after = words.filter(({ column }) => column > black.column);
  const step = { do: 'read', red, black, ...(off === undefined ? {} : { off }) } as const;
  return { do: 'pass', step, text: reason(line, after) };
}

function isVerb(text: string): text is PassedVerb | 'look' {
  return VERBS.has(text);
}

function isBecause({ text }: Word): boolean {
  return text.toLowerCase() === BECAUSE;
}

function missing(line: Line, words: readonly Word[], what: string): never {
  refuse(line, words, { code: 'NOT_WHOLE', message: `"pass" needs ${what}`, hint: EXAMPLES });
}

/** What follows the names; `because` may be left out where it is clear how many names there are. */
function reason(line: Line, [first, ...rest]: readonly Word[]): string {
  const word = first !== undefined && isBecause(first) ? rest[0] : first;
  if (word === undefined) {
    const fault = { code: 'NO_WORDS', message: 'say why the step is passed over', hint: EXAMPLES };
    refuse(line, [], fault);
  }
  return line.text.slice(word.column).trim();
}
