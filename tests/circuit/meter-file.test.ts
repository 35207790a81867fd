import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { parse } from 'yaml';
import { InputError } from '../../src/board/diagnostic.ts';
import { renderDiagnostic } from '../../src/board/frame.ts';
import { COMMON_HANDHELD, type Meter } from '../../src/circuit/meter.ts';
import { figuresOf, meterFrom, printMeter } from '../../src/circuit/meter-figures.ts';
import { loadMeters } from '../../src/circuit/meter-file.ts';
import { meterSchema } from '../../src/circuit/meter-schema.ts';

const FILE = readFileSync('src/circuit/meters.yaml', 'utf8');
const shipped = [...loadMeters(FILE, 'meters.yaml').values()];

const SHOP = `shop:
  beeper: {ohms: 47, spread: 5%}
  leads: 0.15 ohm
  contact: 50m
  gain: 0.5%
  modes:
    continuity: {ranges: [{ohms: 400, amps: 1 mA}], volts: 3}
    ohms: {ranges: [{ohms: 400, amps: 1m}, {ohms: 4k, amps: 100u}], volts: 1V2}
`;

function errorsOf(text: string): string[] {
  try {
    loadMeters(text, 'shop.yaml');
  } catch (error) {
    if (error instanceof InputError) return error.diagnostics.map(renderDiagnostic);
    throw error;
  }
  return [];
}

/** The shop's meter with one piece of its text changed. */
const errorsWith = (from: string, to: string): string[] => errorsOf(SHOP.replace(from, to));

describe('the catalogue of meters', () => {
  it('starts with the common handheld as the code has it', () => {
    expect(shipped[0]).toEqual(COMMON_HANDHELD);
  });

  it('has classes only: no name of a maker, no model number', () => {
    for (const { name } of shipped) expect(name).toMatch(/^[a-z, -]+$/);
  });

  test.each(shipped.map((meter) => [meter.name, meter] as const))('%s is whole', (name, meter) => {
    for (const drive of Object.values(meter.drives)) {
      for (const { ohms, amps } of drive.ranges.slice(0, -1)) {
        expect(ohms * amps).toBeLessThanOrEqual(drive.volts);
      }
    }
    expect(meter.rangeOhms).toBeGreaterThan(1e6);
    expect(meter.junctionOhms).toBeGreaterThanOrEqual(120);
    expect(loadMeters(printMeter(meter, ['printed']), 'x').get(name)).toEqual(meter);
    expect(meterFrom(parse(JSON.stringify(figuresOf(meter))))).toEqual(meter);
  });

  it('says of every figure where it comes from', () => {
    const sources: string[] = [];
    const walk = (piece: unknown): void => {
      if (typeof piece !== 'object' || piece === null) return;
      for (const [key, value] of Object.entries(piece)) {
        if (key === 'source') sources.push(String(value));
        if (key === 'ranges') expect(piece).toHaveProperty('source');
        walk(value);
      }
    };
    walk(parse(FILE));
    for (const source of sources) expect(source).toMatch(/^(default\b|published, maker manuals)/);
    expect(sources.length).toBeGreaterThan(shipped.length * 5);
  });
});

describe('a meter file', () => {
  it('takes values with SI suffixes and units, and works out what follows from the modes', () => {
    const shop = loadMeters(SHOP, 'shop.yaml').get('shop');
    expect(shop).toMatchObject({
      name: 'shop',
      leadOhms: 0.15,
      contactOhms: 0.05,
      beepSpread: 0.05,
    });
    expect(shop?.drives.ohms).toEqual({
      ranges: [
        { ohms: 400, amps: 1e-3 },
        { ohms: 4000, amps: 1e-4 },
      ],
      volts: 1.2,
    });
    expect(shop?.rangeOhms).toBe(4000);
    expect(shop?.drives.diode).toBeUndefined();
  });

  it('takes leads that were nulled', () => {
    expect(loadMeters(SHOP.replace('0.15 ohm', '0'), 'x').get('shop')?.leadOhms).toBe(0);
    expect(errorsWith('0.15 ohm', '-1')).toHaveLength(1);
  });

  it('reports everything wrong at once, each with its place and how to mend it', () => {
    const text = SHOP.replace('beeper', 'beper')
      .replace('0.15 ohm', 'short')
      .replace('  contact: 50m\n', '')
      .replace('continuity:', 'continuty:')
      .replace('400, amps: 1m}', '4M, amps: 1x}');
    expect(errorsOf(text).join('\n')).toMatchInlineSnapshot(`
      "shop.yaml:2:3: error[UNKNOWN_KEY] a meter has no key "beper"
         1 | shop:
         2 |   beper: {ohms: 47, spread: 5%}
           |   ^^^^^
        did you mean "beeper"?
      shop.yaml:2:3: error[MISSING_KEY] a meter needs "contact"
         1 | shop:
         2 |   beper: {ohms: 47, spread: 5%}
           |   ^
        contact: Ω by which leads and contacts differ from touch to touch, one standard deviation
      shop.yaml:3:10: error[BAD_VALUE] "short" is not a value in ohms
         3 |   leads: short
           |          ^^^^^
        for example 4k7, 0.005, 12m, 10 kohm; m is milli, M is mega
      shop.yaml:6:5: error[UNKNOWN_KEY] a set of modes has no key "continuty"
         5 |   modes:
         6 |     continuty: {ranges: [{ohms: 400, amps: 1 mA}], volts: 3}
           |     ^^^^^^^^^
        did you mean "continuity"?
      shop.yaml:7:38: error[BAD_VALUE] "1x" is not a value in amps
         7 |     ohms: {ranges: [{ohms: 4M, amps: 1x}, {ohms: 4k, amps: 100u}], volts: 1V2}
           |                                      ^^
        for example 1m, 100u, 0.83 mA; m is milli, M is mega
      shop.yaml:7:50: error[RANGE_ORDER] this range shows no more ohms than the one before it
         7 |     ohms: {ranges: [{ohms: 4M, amps: 1x}, {ohms: 4k, amps: 100u}], volts: 1V2}
           |                                                  ^^
        ranges go from the lowest to the highest"
    `);
  });

  it.each([
    ['5%', '0.1%', /no beeper is that exact/],
    ['5%', '5', /not a tolerance/],
    ['4k, amps: 100u', '40, amps: 100u', /no more ohms than the one before/],
    ['{ohms: 400, amps: 1m}', '{amps: 1m}', /no range can follow it/],
    ['4k, amps: 100u', '4k, amps: 10m', /used up at 120 Ω/],
    ['[{ohms: 400, amps: 1 mA}]', '[]', /at least 1 are expected/],
    ['ohms: 47', 'ohms: 0', /"0" must be more than zero$/m],
  ])('refuses %s → %s', (from, to, message) => {
    const errors = errorsWith(from, to);
    expect(errors.join('\n')).toMatch(message);
    expect(errors).toHaveLength(1);
    expect(errors.join('\n')).toContain('^');
  });

  it('refuses what is no meter file in a meter file’s words', () => {
    expect(errorsOf('').join()).toMatch(/holds no meter/);
    expect(errorsOf('{}').join()).toMatch(/at least 1/);
    expect(errorsOf('a: *b\n').join()).toMatch(/meter files use no YAML anchors/);
    expect(errorsOf('a: [').length).toBeGreaterThan(0);
  });

  it('holds no figures but those of a meter', () => {
    for (const other of [
      undefined,
      null,
      3,
      {},
      { name: 'x' },
      { ...figuresOf(shipped[0]!), x: 1 },
    ]) {
      expect(meterFrom(other)).toBeUndefined();
    }
  });
});

const ratio = fc.integer({ min: 1, max: 9999 }).map((n) => n / 10_000);
const anyMeter: fc.Arbitrary<Meter> = fc
  .tuple(
    fc.constantFrom(...shipped),
    // Words of the language's own objects are refused as names, in every file.
    fc
      .stringMatching(/^[a-z#:'" {}-]{1,12}$/)
      .filter((name) => !['constructor', 'prototype'].includes(name)),
    fc.record({
      beepOhms: fc.double({ min: 0.1, max: 1000, noNaN: true }),
      beepSpread: ratio.map((r) => r + 0.01),
      leadOhms: fc.double({ min: 0, max: 2, noNaN: true }),
      contactOhms: fc.double({ min: 0, max: 1, noNaN: true }),
      gainRatio: ratio,
    }),
  )
  .filter(([, name]) => name.trim() === name)
  .map(([meter, name, changed]) => ({ ...meter, ...changed, name }));

it('a meter written to a file or a record is read back as it was', () => {
  fc.assert(
    fc.property(anyMeter, (meter) => {
      expect(loadMeters(printMeter(meter), 'x').get(meter.name)).toEqual(meter);
      expect(meterFrom(JSON.parse(JSON.stringify(figuresOf(meter))))).toEqual(meter);
    }),
    { numRuns: 60 },
  );
});

it('the JSON Schema takes the catalogue and refuses a misspelt key', () => {
  const fits = new Ajv2020({ allowUnionTypes: true }).compile(meterSchema());
  expect(fits(parse(FILE))).toBe(true);
  expect(fits(parse(SHOP))).toBe(true);
  expect(fits(parse(SHOP.replace('leads', 'leds')))).toBe(false);
});

describe('loadMeters is not brought down', () => {
  const expectMetersOrErrors = (text: string): void => {
    for (const shown of errorsOf(text)) expect(shown).toMatch(/error/);
  };

  it('by any text, and any bytes', () => {
    fc.assert(fc.property(fc.string({ unit: 'binary', maxLength: 200 }), expectMetersOrErrors));
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) =>
        expectMetersOrErrors(Buffer.from(bytes).toString('utf8')),
      ),
    );
  });

  it('by a meter with pieces cut out, put in or moved about', () => {
    const mark = fc.oneof(
      fc.constantFrom('{', '}', '[', ']', ':', ',', '\n', '\t', '*a', '&a', '!t', '"', '- ', '<<'),
      fc.constantFrom('__proto__', '1e999', '-0', 'NaN', '9'.repeat(400), '\0', '---\n'),
      fc.string({ maxLength: 3 }),
    );
    const edit = fc.record({ at: fc.nat(SHOP.length), cut: fc.nat(30), put: mark });
    fc.assert(
      fc.property(fc.array(edit, { minLength: 1, maxLength: 5 }), (edits) => {
        expectMetersOrErrors(
          edits.reduce(
            (all, { at, cut, put }) => all.slice(0, at) + put + all.slice(at + cut),
            SHOP,
          ),
        );
      }),
      { numRuns: 200 },
    );
  });

  it('by names that mean something to JavaScript', () => {
    for (const name of ['toString', 'valueOf', 'hasOwnProperty']) {
      const meters = loadMeters(SHOP.replace('shop:', `${name}:`), 'x');
      expect([...meters.keys()]).toEqual([name]);
    }
    expectMetersOrErrors(SHOP.replace('shop:', '__proto__:'));
    expectMetersOrErrors(SHOP.replace('continuity:', 'constructor:'));
    expect(Object.keys(Object.prototype)).toEqual([]);
  });
});
