import { readdirSync, readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parse, stringify } from 'yaml';
import { BOARD_SHAPE } from '../../src/board/board-shape.ts';
import { catalogue } from '../../src/board/catalogue.ts';
import { checkShape } from '../../src/board/check-shape.ts';
import { InputError } from '../../src/board/diagnostic.ts';
import { Findings } from '../../src/board/findings.ts';
import { readDocument } from '../../src/board/read-yaml.ts';
import { boardSchema } from '../../src/board/schema.ts';
import { SourceText } from '../../src/board/source-text.ts';

const fitsSchema = new Ajv2020({ allErrors: false, allowUnionTypes: true }).compile(boardSchema());

function fitsShape(text: string): boolean {
  const findings = new Findings(new SourceText(text, 'x'));
  try {
    const raw = readDocument(findings.source);
    if (raw === undefined) return false;
    checkShape(raw, BOARD_SHAPE, findings);
  } catch (error) {
    if (error instanceof InputError) return false;
    throw error;
  }
  return findings.errors().length === 0;
}

const ready = readdirSync('boards').filter((name) => name.endsWith('.yaml'));

describe('the JSON Schema of board files', () => {
  test('is itself a valid schema, and says what it is', () => {
    expect(boardSchema()).toMatchObject({
      $schema: 'https://json-schema.org/draft/2020-12/schema',
      type: 'object',
      required: ['board', 'parts'],
    });
  });

  test('offers every kind of the catalogue', () => {
    const text = JSON.stringify(boardSchema());
    for (const kind of catalogue().keys()) expect(text).toContain(`"${kind}"`);
  });

  test('describes every key', () => {
    const schema = boardSchema() as { properties: Record<string, { description?: string }> };
    for (const [key, { description }] of Object.entries(schema.properties)) {
      expect(description, key).toBeTruthy();
    }
  });

  test.each(ready)('takes the ready board %s', (name) => {
    expect(fitsSchema(parse(readFileSync(`boards/${name}`, 'utf8')))).toBe(true);
  });

  test.each(readdirSync('tests/board/fixtures'))('agrees with the checker on %s', (name) => {
    const text = readFileSync(`tests/board/fixtures/${name}`, 'utf8');
    expect(fitsSchema(parse(text))).toBe(name.startsWith('fits-'));
    expect(fitsShape(text)).toBe(name.startsWith('fits-'));
  });

  test('agrees with the checker on boards mutated in every way it can express', () => {
    const base = parse(readFileSync('tests/board/fixtures/fits-everything.yaml', 'utf8'));
    const places = pathsIn(base);
    const mutation = fc.record({
      path: fc.constantFrom(...places),
      change: fc.constantFrom(...CHANGES),
    });
    let fitting = 0;
    fc.assert(
      fc.property(fc.array(mutation, { minLength: 1, maxLength: 3 }), (mutations) => {
        const value = structuredClone(base);
        for (const { path, change } of mutations) change(value, path);
        const text = stringify(value, { lineWidth: 0, aliasDuplicateObjects: false });
        const bySchema = fitsSchema(value);
        if (bySchema) fitting++;
        expect(fitsShape(text), text).toBe(bySchema);
      }),
      { numRuns: 1500 },
    );
    // Both outcomes must come up, or the agreement says little.
    expect(fitting).toBeGreaterThan(100);
    expect(fitting).toBeLessThan(1400);
  });
});

type Path = readonly (string | number)[];
type Change = (root: unknown, path: Path) => void;

/** Every place of a document, by the keys that lead there. */
function pathsIn(value: unknown, path: Path = []): Path[] {
  if (typeof value !== 'object' || value === null) return [path];
  const inner = Object.entries(value).flatMap(([key, item]) => pathsIn(item, [...path, key]));
  return path.length === 0 ? inner : [path, ...inner];
}

function parentOf(root: unknown, path: Path): Record<string | number, unknown> | undefined {
  let at: unknown = root;
  for (const key of path.slice(0, -1)) {
    if (typeof at !== 'object' || at === null) return undefined;
    at = (at as Record<string | number, unknown>)[key];
  }
  return typeof at === 'object' && at !== null ? (at as Record<string, unknown>) : undefined;
}

const setTo =
  (made: () => unknown): Change =>
  (root, path) => {
    const parent = parentOf(root, path);
    const last = path.at(-1);
    if (parent && last !== undefined) parent[last] = made();
  };

const remove: Change = (root, path) => {
  const parent = parentOf(root, path);
  const last = path.at(-1);
  if (Array.isArray(parent)) parent.splice(Number(last), 1);
  else if (parent && last !== undefined) delete parent[last];
};

const renameTo =
  (name: string): Change =>
  (root, path) => {
    const parent = parentOf(root, path);
    const last = path.at(-1);
    if (!parent || last === undefined || Array.isArray(parent)) return;
    if (!Object.hasOwn(parent, last)) return; // an earlier change took it away
    const value = parent[last];
    delete parent[last];
    Object.defineProperty(parent, name, {
      value,
      enumerable: true,
      configurable: true,
      writable: true,
    });
  };

const CHANGES: readonly Change[] = [
  remove,
  remove,
  ...[true, false, null, 0, 1, 5, -5, 0.5, 1.5, 1e9].map((value) => setTo(() => value)),
  ...[
    '',
    ' ',
    'x',
    'a b',
    'a.b',
    'a:b',
    'a,b',
    'GND',
    'R1',
    'lift',
    'OL',
    'off',
    '4k7',
    '470u',
  ].map((value) => setTo(() => value)),
  ...[
    '10 uF',
    '4R7',
    '3V3',
    '1%',
    '±5 %',
    '-5',
    '0',
    '0k',
    'true',
    'null',
    '~',
    'top',
    'value',
  ].map((value) => setTo(() => value)),
  ...['5', '1e3', '@each', '__proto__', 'constructor', 'ohms', 'x'.repeat(201), 'é', '\u00a0'].map(
    (value) => setTo(() => value),
  ),
  ...[() => [], () => ({}), () => ['a'], () => ['a', 'b'], () => [1, 2], () => [1, 2, 3]].map(
    setTo,
  ),
  ...[() => ({ a: 'b' }), () => ({ plus: 'A', minus: 'B' }), () => [['a', 'b']]].map(setTo),
  ...['x', '1', 'a b', 'a.b', '', 'lift', 'ohms', 'kind', 'pins', '__proto__', 'true'].map(
    renameTo,
  ),
];
