/** One line of a map's record: what was touched, seen, lifted or named. */
import { type Diagnostic, InputError } from '../../board/diagnostic.ts';
import { nearest } from '../../board/nearest.ts';

/** A point is named `C1.1`; several touched at once stand with commas between. */
export type MapSay =
  /** One probe held, others touched in turn: all quiet, or the last one beeped. */
  | {
      readonly do: 'touch';
      readonly hold: string;
      readonly touch: readonly (readonly string[])[];
      readonly beeps: boolean;
    }
  /** Seen by eye to be one piece of copper. */
  | { readonly do: 'joined'; readonly points: readonly string[] }
  | { readonly do: 'lift' | 'refit'; readonly parts: readonly string[] }
  | { readonly do: 'ground'; readonly point: string }
  | { readonly do: 'name'; readonly point: string; readonly net: string }
  /** No probe gets there. */
  | { readonly do: 'skip'; readonly points: readonly string[] }
  | { readonly do: 'undo'; readonly count: number }
  /** Takes back one event, wherever it stands. */
  | { readonly do: 'strike'; readonly event: number }
  | { readonly do: 'note'; readonly text: string }
  /** The board file was written: first letters of its SHA-256, hex. */
  | { readonly do: 'wrote'; readonly digest: string };

/** One thing said, with its place in the record. */
export interface MapEvent {
  readonly n: number;
  readonly say: MapSay;
}

/** What names there are. */
export interface MapNames {
  readonly points: ReadonlyMap<string, number>;
  readonly parts: ReadonlySet<string>;
}

const FIRST_WORDS = ['lift', 'refit', 'ground', 'name', 'skip', 'undo', 'strike', 'note'];
const LAST_WORDS = ['beep', 'quiet', 'joined'];

/**
 * Reads one line of the map's notation.
 * @throws {InputError} saying which word it cannot read
 */
export function parseMapSay(line: string, names: MapNames): MapSay {
  const words = line.trim().split(/\s+/u);
  const [first = '', ...rest] = words;
  const verb = first.toLowerCase();
  switch (verb) {
    case 'note':
      return { do: 'note', text: line.trim().slice(4).trim() };
    case 'wrote':
      if (!/^[0-9a-f]{16}$/.test(rest[0] ?? '')) throw fault(line, first, 'a digest follows');
      return { do: 'wrote', digest: rest[0] ?? '' };
    case 'undo':
      return { do: 'undo', count: rest.length === 0 ? 1 : whole(line, rest, 0) };
    case 'strike':
      return { do: 'strike', event: whole(line, rest, 0) };
    case 'lift':
    case 'refit':
      return { do: verb, parts: listOf(line, rest, (word) => partNamed(line, word, names)) };
    case 'skip':
      return { do: 'skip', points: listOf(line, rest, (word) => pointNamed(line, word, names)) };
    case 'ground':
      if (rest.length !== 1) throw fault(line, first, 'a point follows: ground J1.2');
      return { do: 'ground', point: pointNamed(line, rest[0] ?? '', names) };
    case 'name':
      return nameOf(line, rest, names);
    default:
      return reading(line, words, names);
  }
}

/** The line as the record keeps it. */
export function printMapSay(say: MapSay): string {
  switch (say.do) {
    case 'touch': {
      const touched = say.touch.map((points) => points.join(','));
      return [say.hold, ...touched, say.beeps ? 'beep' : 'quiet'].join(' ');
    }
    case 'joined':
      return [...say.points, 'joined'].join(' ');
    case 'lift':
    case 'refit':
      return [say.do, ...say.parts].join(' ');
    case 'ground':
      return `ground ${say.point}`;
    case 'name':
      return `name ${say.point} ${say.net}`;
    case 'skip':
      return ['skip', ...say.points].join(' ');
    case 'undo':
      return say.count === 1 ? 'undo' : `undo ${say.count}`;
    case 'strike':
      return `strike ${say.event}`;
    case 'note':
      return `note ${say.text}`;
    case 'wrote':
      return `wrote ${say.digest}`;
  }
}

function reading(line: string, words: readonly string[], names: MapNames): MapSay {
  const last = words.at(-1)?.toLowerCase() ?? '';
  if (!LAST_WORDS.includes(last)) throw unknownEnd(line, words);
  const points = words.slice(0, -1).map((word) => listOfPoints(line, word, names));
  const [hold = [], ...touch] = points;
  const [held, ...more] = hold;
  if (held === undefined || more.length > 0 || touch.length === 0) {
    throw fault(line, words[0] ?? '', 'one held point comes first, then those touched');
  }
  const twice = touch.flat().find((point) => point === held);
  if (twice !== undefined) throw fault(line, twice, 'a point is read against others');
  if (last === 'joined') return { do: 'joined', points: [held, ...touch.flat()] };
  return { do: 'touch', hold: held, touch, beeps: last === 'beep' };
}

function nameOf(line: string, rest: readonly string[], names: MapNames): MapSay {
  const [point, net, ...more] = rest;
  if (point === undefined || net === undefined || more.length > 0) {
    throw fault(line, rest[0] ?? 'name', 'a point and a name follow: name J1.1 P24');
  }
  if (!/^[^\s\p{C}:,]{1,100}$/u.test(net) || names.points.has(net)) {
    throw fault(line, net, 'a net is named without blanks, commas and colons, and not as a pin');
  }
  return { do: 'name', point: pointNamed(line, point, names), net };
}

function listOf(
  line: string,
  words: readonly string[],
  read: (word: string) => string,
): readonly string[] {
  if (words.length === 0) throw fault(line, line.trim(), 'it says of nothing');
  return words.map(read);
}

function listOfPoints(line: string, word: string, names: MapNames): string[] {
  return word.split(',').map((each) => pointNamed(line, each, names));
}

function pointNamed(line: string, word: string, names: MapNames): string {
  if (names.points.has(word)) return word;
  const upper = [...names.points.keys()].find((name) => name.toLowerCase() === word.toLowerCase());
  if (upper !== undefined) return upper;
  const part = word.slice(0, Math.max(0, word.lastIndexOf('.')));
  const own = [...names.points.keys()].filter((name) => name.startsWith(`${part}.`));
  throw fault(
    line,
    word,
    'no such point is listed',
    nearest(word, part && own.length > 0 ? own : [...names.points.keys()]),
  );
}

function partNamed(line: string, word: string, names: MapNames): string {
  if (names.parts.has(word)) return word;
  const upper = word.toUpperCase();
  if (names.parts.has(upper)) return upper;
  throw fault(line, word, 'no such part is listed', nearest(word, [...names.parts]));
}

function whole(line: string, words: readonly string[], at: number): number {
  const count = Number(words[at]);
  if (words.length === 1 && Number.isSafeInteger(count) && count > 0) return count;
  throw fault(line, words[at] ?? line.trim(), 'one whole number follows');
}

function unknownEnd(line: string, words: readonly string[]): InputError {
  const [first = ''] = words;
  const last = words.at(-1) ?? '';
  const near = nearest(last, LAST_WORDS);
  if (words.length > 2 || near !== undefined) {
    return fault(line, last, 'a reading ends in beep, quiet or joined', near);
  }
  return fault(
    line,
    first,
    'a line says a reading, or begins with a word of its own',
    nearest(first, FIRST_WORDS),
  );
}

function fault(line: string, word: string, message: string, near?: string): InputError {
  const column = Math.max(0, line.indexOf(word)) + 1;
  const diagnostic: Diagnostic = {
    code: 'MAP_LINE',
    severity: 'error',
    message: `"${word}": ${message}`,
    place: {
      file: 'line',
      line: 1,
      column,
      endColumn: column + Math.max(1, word.length),
      text: line,
    },
    ...(near === undefined ? {} : { hint: `did you mean ${near}?` }),
  };
  return new InputError([diagnostic]);
}
