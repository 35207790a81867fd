import type { Pair, YAMLError, YAMLMap, YAMLSeq } from 'yaml';
import { isAlias, isMap, isPair, isScalar, isSeq, parseAllDocuments } from 'yaml';
import * as complaints from './complaints.ts';
import { InputError } from './diagnostic.ts';
import { Findings } from './findings.ts';
import type { Raw, RawEntry } from './raw.ts';
import type { SourceText, Spot } from './source-text.ts';

/**
 * Reads any YAML text. Undefined for an empty document.
 * @throws {InputError} with every fault of the YAML itself, in file order
 */
export function readYaml(source: SourceText): Raw | undefined {
  const documents = parseAllDocuments(source.text, {
    // Every scalar stays text: `012`, `1e3` and `no` are good net names.
    schema: 'failsafe',
    uniqueKeys: false,
    logLevel: 'silent',
    prettyErrors: false,
  });
  const findings = new Findings(source);
  if ('empty' in documents) return undefined;
  for (const document of documents) {
    for (const error of [...document.errors, ...document.warnings]) report(error, findings);
  }
  const second = documents[1];
  if (second && findings.errors().length === 0) {
    const start = second.range[0];
    findings.error({ start, end: start + 3 }, complaints.badYaml('a second document begins here'));
  }
  if (findings.errors().length > 0) throw new InputError(findings.errors());
  const root = documents[0]?.contents;
  return root ? toRaw(root, 0) : undefined;
}

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

function toRaw(node: unknown, fallback: number): Raw {
  if (isAlias(node)) return { is: 'refused', text: `*${node.source}`, ...spotOf(node, fallback) };
  if (isScalar(node) || isMap(node) || isSeq(node)) {
    const mark = node.anchor ? `&${node.anchor}` : node.tag;
    if (mark) return { is: 'refused', text: mark, ...spotOf(node, fallback) };
  }
  if (isMap(node)) return { is: 'map', entries: toEntries(node), ...spotOf(node, fallback) };
  if (isSeq(node)) return { is: 'list', items: toItems(node), ...spotOf(node, fallback) };
  if (isScalar(node)) {
    const { value, type } = node;
    return { is: 'text', text: String(value), plain: type === 'PLAIN', ...spotOf(node, fallback) };
  }
  return { is: 'text', text: '', plain: true, start: fallback, end: fallback };
}

function toEntries(map: YAMLMap): RawEntry[] {
  return map.items.map(toEntry);
}

function toEntry({ key, value }: Pair): RawEntry {
  const rawKey = toRaw(key, 0);
  return { key: rawKey, value: toRaw(value, rawKey.end) };
}

/** A pair inside a list (`[a: b]`) is a map of one entry. */
function toItems(list: YAMLSeq): Raw[] {
  return list.items.map((item): Raw => {
    if (!isPair(item)) return toRaw(item, 0);
    const entry = toEntry(item);
    return { is: 'map', entries: [entry], start: entry.key.start, end: entry.value.end };
  });
}

function spotOf(node: { range?: [number, number, number] | null }, fallback: number): Spot {
  const [start, end] = node.range ?? [fallback, fallback];
  return { start, end };
}
