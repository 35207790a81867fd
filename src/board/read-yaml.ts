import { createRequire } from 'node:module';
import type { CST, Pair, Parser, YAMLError, YAMLMap, YAMLSeq } from 'yaml';
import * as complaints from './complaints.ts';
import { InputError } from './diagnostic.ts';
import { Findings } from './findings.ts';
import type { Raw, RawEntry } from './raw.ts';
import { readPlain } from './read-plain.ts';
import type { SourceText, Spot } from './source-text.ts';
import { tooDeepAt } from './yaml-nesting.ts';

/**
 * Reads any YAML text, the plain part of it by the short way. Undefined for an empty document.
 * @throws {InputError} with every fault of the YAML itself, in file order
 */
export function readDocument(source: SourceText): Raw | undefined {
  return readPlain(source.text) ?? readYaml(source);
}

/** The same by the full reader alone; for everything `readPlain` leaves to it, and for tests. */
export function readYaml(source: SourceText): Raw | undefined {
  const findings = new Findings(source);
  const { Composer, Parser } = yaml();
  const { tokens, deepAt } = parsed(source.text, new Parser());
  if (deepAt !== undefined) {
    findings.error({ start: deepAt, end: deepAt + 1 }, complaints.badYaml('nested too deeply'));
    throw new InputError(findings.errors());
  }
  const composer = new Composer({
    // Every scalar stays text: `012`, `1e3` and `no` are good net names.
    schema: 'failsafe',
    uniqueKeys: false,
    logLevel: 'silent',
    prettyErrors: false,
  });
  const documents = [...composer.compose(tokens)];
  if (documents.length === 0) return undefined;
  const faults = documents.flatMap(({ errors, warnings }) => [...errors, ...warnings]);
  for (const fault of faults.slice(0, MOST_FAULTS)) report(fault, findings);
  const second = documents[1];
  if (second && findings.errors().length === 0) {
    const start = second.range[0];
    findings.error({ start, end: start + 3 }, complaints.badYaml('a second document begins here'));
  }
  if (findings.errors().length > 0) throw new InputError(findings.errors());
  const root = documents[0]?.contents;
  return root ? toRaw(root, 0) : undefined;
}

function parsed(text: string, parser: Parser): { tokens: readonly CST.Token[]; deepAt?: number } {
  try {
    const tokens = [...parser.parse(text)];
    const deepAt = tooDeepAt(tokens);
    return deepAt === undefined ? { tokens } : { tokens, deepAt };
  } catch (error) {
    if (error instanceof RangeError) return { tokens: [], deepAt: 0 };
    throw error;
  }
}

/** One open bracket spoils all that follows; past these there is nothing left to learn. */
const MOST_FAULTS = 20;

function report(error: YAMLError, findings: Findings): void {
  const [start, end] = error.pos;
  const what = error.message.replace(/ at line \d+, column \d+[\s\S]*$/, '');
  findings.error(
    { start, end },
    complaints.badYaml(plainly(error.code, what), hintFor(error.code)),
  );
}

function plainly(code: string, message: string): string {
  return code === 'RESOURCE_EXHAUSTION' ? 'nested too deeply' : lowerFirst(message);
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

function hintFor(code: string): string | undefined {
  switch (code) {
    case 'TAB_AS_INDENT':
      return 'indent with spaces';
    case 'BAD_INDENT':
      return 'things that belong together stand at the same indentation';
    case 'MISSING_CHAR':
      return 'a quote or bracket may be missing, or a space after a colon';
    default:
      return undefined;
  }
}

/** `fallback` is where a missing node is said to stand. */
function toRaw(node: unknown, fallback: number): Raw {
  const { isAlias, isMap, isScalar, isSeq } = yaml();
  if (isAlias(node)) return { is: 'refused', text: `*${node.source}`, ...spotOf(node, fallback) };
  if (isScalar(node) || isMap(node) || isSeq(node)) {
    const mark = node.anchor ? `&${node.anchor}` : node.tag;
    if (mark) return { is: 'refused', text: mark, ...spotOf(node, fallback) };
  }
  if (isMap(node)) return toMap(node, fallback);
  if (isSeq(node)) return toList(node, fallback);
  if (!isScalar(node))
    return { is: 'text', value: '', plain: true, start: fallback, end: fallback };
  const { value, type } = node;
  const plain = type === 'PLAIN';
  const spot = plain && value === '' ? { start: fallback, end: fallback } : spotOf(node, fallback);
  return { is: 'text', value: String(value), plain, ...spot };
}

function toMap(map: YAMLMap, fallback: number): Raw {
  const spot = spotOf(map, fallback);
  const entries = map.items.map(toEntry);
  // A block ends with its last value, not with the comments and blank lines after it.
  const end = map.flow ? spot.end : (entries.at(-1)?.value.end ?? spot.end);
  return { is: 'map', entries, start: spot.start, end };
}

function toEntry({ key, value }: Pair): RawEntry {
  const rawKey = toRaw(key, 0);
  return { key: rawKey, value: toRaw(value, rawKey.end) };
}

function toList(list: YAMLSeq, fallback: number): Raw {
  const spot = spotOf(list, fallback);
  const items = list.items.map(toItem);
  const end = list.flow ? spot.end : (items.at(-1)?.end ?? spot.end);
  return { is: 'list', value: items, start: spot.start, end };
}

/** A pair inside a list (`[a: b]`) is a map of one entry. */
function toItem(item: unknown): Raw {
  if (!yaml().isPair(item)) return toRaw(item, 0);
  const entry = toEntry(item);
  return { is: 'map', entries: [entry], start: entry.key.start, end: entry.value.end };
}

function spotOf(node: { range?: [number, number, number] | null }, fallback: number): Spot {
  const [start, end] = node.range ?? [fallback, fallback];
  return { start, end };
}

type Yaml = typeof import('yaml');
let loaded: Yaml | undefined;

/** Loaded on first use: most files never need it, and it costs more than reading them. */
function yaml(): Yaml {
  loaded ??= createRequire(import.meta.url)('yaml') as Yaml;
  return loaded;
}
