/** What may stand at the end of a command line that is still being typed. */
import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { METERS_FILE } from '../../bench/meters-file.ts';
import { COMMANDS, type CommandSpec, type OptionSpec } from '../commands.ts';
import { isBoard, isJob, yamlIn } from '../job-files.ts';
import { topics } from '../manual/topics.ts';
import { type BoardNames, namesOfBoard, namesOfJob } from './board-names.ts';
import { nextInLine } from './notation-words.ts';

export interface Candidate {
  readonly word: string;
  /** What it is, in a few words. */
  readonly about?: string;
}

export interface Candidates {
  readonly list: readonly Candidate[];
  /** The shell's own files, or folders, may stand there too. */
  readonly also?: 'files' | 'folders';
  /** The same where none of the list fits. */
  readonly otherwise?: 'files';
}

const COMMON: readonly OptionSpec[] = [
  { flags: '--json', help: 'print one JSON document instead of text' },
  { flags: '--no-color', help: 'no colour' },
  { flags: '--shop <file>', help: "the shop's settings file or database, or none" },
  { flags: '-h, --help', help: 'help on this command' },
];

const NOTHING: Candidates = { list: [] };
const FILES: Candidates = { list: [], also: 'files' };

/** @param words after the command's own name; the last is being typed and may be empty */
export function candidatesFor(words: readonly string[]): Candidates {
  const typed = words.at(-1) ?? '';
  return fitting(offered(words.slice(0, -1), typed), typed);
}

function offered(before: readonly string[], typed: string): Candidates {
  const line = new Line(before);
  if (line.awaits !== undefined) return optionValue(line.awaits, line, typed);
  if (typed.startsWith('-') && !line.isPlain) return options(line.spec);
  if (line.spec === undefined) {
    return { list: COMMANDS.map(({ name, summary }) => ({ word: name, about: summary })) };
  }
  return argument(line.spec, line, typed);
}

/** Those that begin as what is typed; in any case of letters where none does exactly. */
function fitting({ list, also, otherwise }: Candidates, typed: string): Candidates {
  const exact = list.filter(({ word }) => word.startsWith(typed));
  const loose = typed.toLowerCase();
  const found =
    exact.length > 0 ? exact : list.filter(({ word }) => word.toLowerCase().startsWith(loose));
  const seen = new Set<string>();
  const unique = found.filter(({ word }) => !seen.has(word) && seen.add(word));
  const shells = unique.length === 0 ? (otherwise ?? also) : also;
  return { list: unique, ...(shells === undefined ? {} : { also: shells }) };
}

/** The words before the one being typed, taken apart as commander will. */
class Line {
  readonly spec: CommandSpec | undefined;
  readonly args: readonly string[];
  /** The option whose value is being typed. */
  readonly awaits: string | undefined;
  /** After `--` nothing is an option. */
  readonly isPlain: boolean;

  constructor(before: readonly string[]) {
    const args: string[] = [];
    let spec: CommandSpec | undefined;
    let awaits: string | undefined;
    let isPlain = false;
    for (const word of before) {
      if (awaits !== undefined) awaits = undefined;
      else if (!isPlain && word === '--') isPlain = true;
      else if (!isPlain && word.startsWith('-') && word !== '-') awaits = awaitedBy(spec, word);
      else if (spec === undefined) spec = COMMANDS.find(({ name }) => name === word);
      else args.push(word);
    }
    this.spec = spec;
    this.args = args;
    this.awaits = awaits;
    this.isPlain = isPlain;
  }
}

/** The long name of an option that takes a value; undefined when it takes none. */
function awaitedBy(spec: CommandSpec | undefined, word: string): string | undefined {
  const known = [...(spec?.options ?? []), ...COMMON];
  const option = known.find(({ flags }) => flags.split(/[ ,]+/).includes(word));
  if (option === undefined || !option.flags.includes('<')) return undefined;
  return /--[\w-]+/.exec(option.flags)?.[0];
}

function options(spec: CommandSpec | undefined): Candidates {
  const own = [...(spec?.options ?? []), ...COMMON];
  const version = spec === undefined ? [{ flags: '--version', help: 'the version' }] : [];
  const list = [...own, ...version].flatMap(({ flags, help }) =>
    (flags.match(/--[\w-]+/g) ?? []).map((word) => ({ word, about: help })),
  );
  return { list };
}

const VALUES_OF: Readonly<Record<string, readonly string[]>> = {
  '--purpose': ['repair', 'refurbish'],
  '--form': ['text', 'markdown', 'html'],
};

function optionValue(option: string, line: Line, typed: string): Candidates {
  const words = VALUES_OF[option];
  if (words !== undefined) return plain(words);
  switch (option) {
    case '--inject':
      return plain(namesOfBoard(line.args[0] ?? '').rails);
    case '--board':
      return filesOf(isBoard, typed);
    case '--meter':
      if (line.spec?.name === 'guide') return plain(['tcp://', 'lines:', '-']);
      return { ...plain(meterNames()), also: 'files' };
    case '--figures':
    case '--like':
      return { ...plain(meterNames()), also: 'files' };
    case '--shop':
      return { ...plain(['none']), also: 'files' };
    case '--seed':
    case '--faults':
    case '--name':
      return NOTHING;
    default:
      return FILES;
  }
}

/** The argument at this place, by its name in the command table; one that ends in `...` goes on. */
function argument(spec: CommandSpec, line: Line, typed: string): Candidates {
  const names = spec.args.match(/[\w-]+(?:\.\.\.)?/g) ?? [];
  const last = names.at(-1);
  const at = line.args.length;
  const name = names[at] ?? (last?.endsWith('...') === true ? last : undefined);
  switch (name?.replace('...', '')) {
    case undefined:
      return NOTHING;
    case 'job':
      return filesOf(isJob, typed);
    case 'board':
    case 'file':
      return filesOf(isBoard, typed);
    case 'say':
      return said(line, typed);
    case 'point':
      return plain(places(namesOfJob(line.args[0] ?? ''), typed));
    case 'black':
      return plain(nextInLine(['x'], namesOfJob(line.args[0] ?? ''), typed));
    case 'rail': {
      const { rails, nets } = namesOfJob(line.args[0] ?? '');
      return plain([...rails, ...nets]);
    }
    case 'part':
      return plain([...namesOfJob(line.args[0] ?? '').parts.keys()]);
    case 'name':
      return plain(meterNames());
    case 'topic':
      return plain([...topics(), ...COMMANDS].map((each) => each.name));
    case 'shell':
      return plain(['bash', 'zsh', 'fish']);
    case 'folder':
      return { list: [], also: 'folders' };
    case 'time':
      return NOTHING;
    default:
      return FILES;
  }
}

/** Files of one sort in the folder typed so far; where it holds none, any file. */
function filesOf(isOne: (path: string) => boolean, typed: string): Candidates {
  const folder = /^.*\//s.exec(typed)?.[0] ?? '';
  const files = yamlIn(folder === '' ? '.' : folder).filter(isOne);
  // As typed so far: `./job.yaml` stays that.
  const named = files.map((path) => `${folder}${basename(path)}`);
  return { ...plain(named), also: 'folders', otherwise: 'files' };
}

/** A part, or the first of two points. */
function places(names: BoardNames, typed: string): string[] {
  return nextInLine(['unreachable'], names, typed);
}

/** Bare words make one line together; a word with blanks in it is a line by itself. */
function said({ args }: Line, typed: string): Candidates {
  const [job = '', ...words] = args;
  const names = namesOfJob(job);
  if (!/\s/.test(typed)) {
    return words.some((word) => /\s/.test(word)) && typed === ''
      ? NOTHING
      : plain(nextInLine(words, names, typed));
  }
  const [, head = '', tail = ''] = /^(.*\s)(\S*)$/s.exec(typed) ?? [];
  const before = head.trim().split(/\s+/).filter(Boolean);
  return plain(nextInLine(before, names, tail).map((word) => `${head}${word}`));
}

function plain(words: readonly string[]): Candidates {
  return { list: words.map((word) => ({ word })) };
}

/** The meters that come with the program; read line by line, as a name stands alone on its own. */
function meterNames(): string[] {
  const lines = readFileSync(METERS_FILE, 'utf8').split('\n');
  return lines.flatMap((line) => /^([^\s#].*):$/.exec(line)?.[1] ?? []);
}
