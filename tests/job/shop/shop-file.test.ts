import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parse, stringify } from 'yaml';
import { checkShape } from '../../../src/board/check-shape.ts';
import { InputError } from '../../../src/board/diagnostic.ts';
import { Findings } from '../../../src/board/findings.ts';
import { renderDiagnostic } from '../../../src/board/frame.ts';
import { loadBoard } from '../../../src/board/load.ts';
import { readDocument } from '../../../src/board/read-yaml.ts';
import type { FieldsShape } from '../../../src/board/shape.ts';
import { SourceText } from '../../../src/board/source-text.ts';
import { DEFAULT_FAULT_SETTINGS } from '../../../src/faults/settings.ts';
import { deriveJob } from '../../../src/job/derive.ts';
import { printShop } from '../../../src/job/shop/print-shop.ts';
import {
  checksFor,
  DEFAULT_SHOP,
  faultSettingsOf,
  type Shop,
  stepSettingsOf,
} from '../../../src/job/shop/shop.ts';
import { shopFigures } from '../../../src/job/shop/shop-figures.ts';
import { loadShop, propertyOf } from '../../../src/job/shop/shop-file.ts';
import { shopSchema } from '../../../src/job/shop/shop-schema.ts';
import { SHOP_SHAPE } from '../../../src/job/shop/shop-shape.ts';
import { advise, analyse, openWorkbench } from '../../../src/steps/advise.ts';
import { DEFAULT_STEP_SETTINGS } from '../../../src/steps/settings.ts';
import { arbitraryShop } from './shop-arbitrary.ts';

const FULL = readFileSync('tests/job/shop/full-shop.yaml', 'utf8');

function errorsOf(text: string): string[] {
  try {
    loadShop(text, 'shop.yaml');
  } catch (error) {
    if (error instanceof InputError) return error.diagnostics.map(renderDiagnostic);
    throw error;
  }
  return [];
}

describe('a settings file', () => {
  test('changes what it says and nothing else', () => {
    const { shop, lines } = loadShop('bench-times:\n  remove: {two-leads: 2.5}\n', 'x');
    const { benchTimes } = DEFAULT_SHOP;
    const remove = { ...benchTimes.remove, 'two leads': 2.5 };
    expect(shop).toEqual({ ...DEFAULT_SHOP, benchTimes: { ...benchTimes, remove } });
    expect([...lines]).toEqual([['bench-times.remove.two-leads', 2]]);
  });

  test('of a full example says everything in its own words', () => {
    const { shop, warnings } = loadShop(FULL, 'full-shop.yaml');
    expect(warnings).toEqual([]);
    expect(shop).toMatchObject({
      shop: 'Our workshop',
      hourlyRate: 48,
      currency: 'EUR',
      meter: 'common handheld',
      policies: {
        renewBanksAsSets: false,
        healthyPartOff: 4,
        replaceOnSuspicion: { kinds: ['ceramic'], upTo: 0.5, from: 0.25 },
      },
      thresholds: { worthUpTo: 0.6, awayAfter: 45, soak: { minutes: 120, observeEvery: 20 } },
      prices: { list: 'prices.csv' },
    });
    expect(shop.benchTimes.reading['four-wire']).toBe(2);
    expect(shop.boards.get('Chain-hoist motor drive, 48 V')).toEqual({ value: 320 });
    expect(shop.prices.usual.get('electrolytic')).toBe(0.6);
    expect(checksFor(shop, 'Chain-hoist motor drive, 48 V')).toHaveLength(2);
    expect(checksFor(shop, 'another')).toEqual(['Lifts the test weight and holds it']);
  });

  test('leaves nothing out: the full example names every setting there is', () => {
    const { lines } = loadShop(FULL, 'full-shop.yaml');
    const fixed = shopFigures(DEFAULT_SHOP).map(({ path }) => path.join('.'));
    for (const path of fixed) expect(lines.has(path), path).toBe(true);
  });

  test('names everything wrong at once, with its place and the nearest word', () => {
    const shown = errorsOf(`bench-time: {look: 1}
bench-times: {look: none, reflow: 1}
thresholds: {discharge: {refuse-volts: 400}}
doubts: {slip: 200%, clear-below: 95%}
`);
    const heads = shown.map((each) => each.split('\n')[0]);
    expect(heads).toEqual([
      'shop.yaml:1:1: error[UNKNOWN_KEY] a settings file has no key "bench-time"',
      'shop.yaml:2:21: error[BAD_VALUE] "none" is not a number',
      'shop.yaml:2:27: error[UNKNOWN_KEY] a set of bench times has no key "reflow"',
      'shop.yaml:3:40: error[BAD_VALUE] "400" must lie between 0.1 and 60',
      'shop.yaml:4:16: error[BAD_VALUE] this share must lie between 0.0001% and 99.9%',
      'shop.yaml:4:35: error[BAD_VALUE] "clear-below" must be less than "sure-from"',
    ]);
    expect(shown[0]).toContain('did you mean "bench-times"?');
  });

  test.each([
    ['refuse-volts: 61', 'the limit that refuses is never raised'],
    ['refuse-joules: 11', 'nor the energy'],
    ['warn-volts: 20', 'nor the warning beyond 10 V'],
  ])('refuses %s: %s', (line) => {
    expect(errorsOf(`thresholds: {discharge: {${line}}}`)).toHaveLength(1);
  });

  test('refuses a warning that would come after the refusal', () => {
    const [error = ''] = errorsOf('thresholds: {discharge: {refuse-volts: 0.5}}');
    expect(error).toContain('"warn-volts" must not be more than "refuse-volts"');
  });

  test('warns of a kind the catalogue does not have, as a board may add it', () => {
    const { warnings } = loadShop('prices: {usual: {ceramik: 0.1}}', 'x');
    expect(warnings).toMatchObject([{ code: 'UNKNOWN_KIND', hint: 'did you mean "ceramic"?' }]);
  });

  test.each(['', '# nothing yet\n'])('that holds nothing (%j) is refused', (text) => {
    expect(errorsOf(text)[0]).toContain('--write FILE');
  });
});

describe('the defaults', () => {
  test('have a name for every key of the shape, and no other', () => {
    const named = (shape: FieldsShape, value: object, path: string): void => {
      const allowed = Object.keys(shape.fields).map((key) => propertyOf(key, value));
      for (const property of Object.keys(value)) expect(allowed, path).toContain(property);
      for (const [key, of] of Object.entries(shape.fields)) {
        const below = (value as Record<string, unknown>)[propertyOf(key, value)];
        if (of.is === 'fields') named(of, below as object, `${path}.${key}`);
      }
    };
    named(SHOP_SHAPE, DEFAULT_SHOP, '');
  });

  test('are those of the reasoning: a shop that says nothing changes no advice', () => {
    expect({ ...DEFAULT_FAULT_SETTINGS, ...faultSettingsOf(DEFAULT_SHOP.doubts) }).toEqual(
      DEFAULT_FAULT_SETTINGS,
    );
    expect({ ...DEFAULT_STEP_SETTINGS, ...stepSettingsOf(DEFAULT_SHOP) }).toEqual(
      DEFAULT_STEP_SETTINGS,
    );
  });

  test('written out and read back are the defaults', () => {
    expect(loadShop(printShop(), 'x').shop).toEqual(DEFAULT_SHOP);
  });

  test('keep their units: one bench minute more is one minute more in the advice', () => {
    const file = 'boards/bench-flyback.yaml';
    const { board } = loadBoard(readFileSync(file, 'utf8'), file);
    const { evidence } = deriveJob(board, []);
    const { shop } = loadShop('bench-times: {reading: {continuity: 1.3}}', 'x');
    const minutes = (of: Shop): number =>
      advise(analyse(openWorkbench(board, { steps: stepSettingsOf(of) }), evidence)).minutes;
    expect(minutes(shop) - minutes(DEFAULT_SHOP)).toBeCloseTo(1, 9);
  });
});

test('any settings written out and read back are the same', () => {
  fc.assert(
    fc.property(arbitraryShop, (shop) => {
      expect(loadShop(printShop(shop), 'x').shop).toEqual(shop);
    }),
  );
});

describe('the JSON Schema of settings files', () => {
  const fitsSchema = new Ajv2020({ allErrors: false, allowUnionTypes: true }).compile(shopSchema());
  const fitsShape = (text: string): boolean => {
    const findings = new Findings(new SourceText(text, 'x'));
    try {
      const raw = readDocument(findings.source);
      if (raw === undefined) return false;
      checkShape(raw, SHOP_SHAPE, findings);
    } catch (error) {
      if (error instanceof InputError) return false;
      throw error;
    }
    return findings.errors().length === 0;
  };

  test('takes the full example and the starter file', () => {
    for (const text of [FULL, printShop()]) expect(fitsSchema(parse(text))).toBe(true);
  });

  test('agrees with the checker on settings changed in every way it can express', () => {
    const base = parse(FULL) as object;
    const places = pathsIn(base);
    const value = fc.constantFrom<unknown>(
      ...[1, 2, 5, '5%', '40%', 'words', 1, 2, 5, '5%', '40%', 'words', 1, 2, 5, '5%', '40%'],
      ...[true, false, null, 0, 1, 5, -5, 0.5, 61, 1e9, 1e12, '', ' ', 'x', '1%', '5', 'a b'],
      ...['two-leads', '__proto__', [], {}, ['a'], [{ check: 'x' }], { value: 3 }, { look: 1 }],
    );
    const change = fc.oneof(
      fc.record({ at: fc.constantFrom(...places), set: value }),
      fc.record({
        at: fc.constantFrom(...places),
        name: fc.constantFrom('look', 'value', 'x', 'a b', '', 'soak', 'from'),
      }),
    );
    let fitting = 0;
    fc.assert(
      fc.property(fc.array(change, { minLength: 1, maxLength: 2 }), (changes) => {
        const made = structuredClone(base);
        for (const each of changes) apply(made, each);
        const text = stringify(made, { lineWidth: 0, aliasDuplicateObjects: false });
        const bySchema = fitsSchema(made);
        if (bySchema) fitting += 1;
        expect(fitsShape(text), text).toBe(bySchema);
      }),
      { numRuns: 800 },
    );
    // Both outcomes must come up, or the agreement says little.
    expect(fitting).toBeGreaterThan(40);
    expect(fitting).toBeLessThan(760);
  });
});

describe('loadShop is not brought down', () => {
  const expectShopOrErrors = (text: string): void => {
    for (const shown of errorsOf(text)) expect(shown).toMatch(/error/);
  };

  test('by any text', () => {
    fc.assert(fc.property(fc.string({ unit: 'binary', maxLength: 200 }), expectShopOrErrors));
  });

  test('by the full example with pieces cut out, put in or moved about', () => {
    const mark = fc.oneof(
      fc.constantFrom('{', '}', '[', ']', ':', ',', '\n', '\t', '*a', '&a', '!t', '"', "'", '- '),
      fc.constantFrom('__proto__', 'doubts:', '<<', '\0', '\ufeff', '|', '>', '%', '---\n'),
      fc.string({ maxLength: 3 }),
    );
    const edit = fc.record({ at: fc.nat(FULL.length), cut: fc.nat(60), put: mark });
    fc.assert(
      fc.property(fc.array(edit, { minLength: 1, maxLength: 5 }), (edits) => {
        expectShopOrErrors(
          edits.reduce(
            (all, { at, cut, put }) => all.slice(0, at) + put + all.slice(at + cut),
            FULL,
          ),
        );
      }),
      { numRuns: 200 },
    );
  });

  test('by names that mean something to JavaScript', () => {
    const { shop } = loadShop('boards: {toString: {value: 3}, valueOf: {value: 4}}', 'x');
    expect([...shop.boards.keys()]).toEqual(['toString', 'valueOf']);
    expectShopOrErrors('{"__proto__": {"hourly-rate": 4}, "constructor": 1}');
    expect(Object.keys(Object.prototype)).toEqual([]);
  });

  test('by a file beyond any settings', () => {
    expect(errorsOf('#'.repeat(5e6))[0]).toContain('larger than');
  });
});

type Path = readonly (string | number)[];

function pathsIn(value: unknown, path: Path = []): Path[] {
  if (typeof value !== 'object' || value === null) return [path];
  const inner = Object.entries(value).flatMap(([key, item]) => pathsIn(item, [...path, key]));
  return path.length === 0 ? inner : [path, ...inner];
}

function apply(
  root: object,
  change: { readonly at: Path; readonly set?: unknown; readonly name?: string },
): void {
  const last = change.at.at(-1);
  let parent: unknown = root;
  for (const key of change.at.slice(0, -1)) {
    if (typeof parent !== 'object' || parent === null) return;
    parent = (parent as Record<string | number, unknown>)[key];
  }
  if (typeof parent !== 'object' || parent === null || last === undefined) return;
  const holder = parent as Record<string | number, unknown>;
  if (change.name === undefined) {
    holder[last] = structuredClone(change.set);
  } else if (!Array.isArray(parent) && Object.hasOwn(holder, last)) {
    const value = holder[last];
    delete holder[last];
    holder[change.name] = value;
  }
}
