import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import {
  catalogue,
  catalogueFrom,
  catalogueText,
  readCatalogue,
} from '../../src/board/catalogue.ts';
import { InputError } from '../../src/board/diagnostic.ts';
import { PIN_ROLES } from '../../src/board/kinds.ts';
import type { Kind } from '../../src/board/model.ts';

const kinds = [...catalogue().values()];
const kind = (name: string): Kind => {
  const found = catalogue().get(name);
  if (found === undefined) throw new Error(`no kind ${name}`);
  return found;
};

/** Share of a kind's failures that join pins. */
function shortShare(name: string): number {
  return kind(name)
    .modes.filter((mode) => mode.joins.length > 0)
    .reduce((sum, mode) => sum + mode.share, 0);
}

describe('the catalogue', () => {
  test('has every kind a board file may count on', () => {
    expect([...catalogue().keys()].sort()).toEqual(
      [
        'jumper fuse resistor resistor-network potentiometer thermistor varistor',
        'inductor bead transformer ceramic film electrolytic tantalum',
        'diode schottky zener suppressor two-way-suppressor led bridge-rectifier',
        'npn pnp n-mosfet p-mosfet igbt scr triac optocoupler',
        'ic regulator relay switch connector test-point crystal unknown mechanical',
      ]
        .join(' ')
        .split(' ')
        .sort(),
    );
  });

  test.each(kinds.map((k) => [k.name, k] as const))('%s is whole', (_, k) => {
    const sum = k.modes.reduce((all, mode) => all + mode.share, 0);
    expect(sum).toBeLessThanOrEqual(1 + 1e-9);
    expect(k.title).not.toBe('');
    expect(k.source).not.toBe('');
    expect(k.fitRate).toBeGreaterThan(0);
    expect(new Set(k.pins).size).toBe(k.pins.length);
    for (const mode of k.modes) {
      expect(mode.share).toBeGreaterThan(0);
      expect(mode.ohms[0]).toBeLessThanOrEqual(mode.ohms[1]);
      for (const pin of mode.joins.flat()) expect([...k.pins, ...PIN_ROLES]).toContain(pin);
    }
  });

  test('every figure of a handbook names it, and every other is marked as a default', () => {
    for (const k of kinds) {
      for (const source of [k.source, ...k.modes.map((mode) => mode.source)]) {
        expect(source).toMatch(/^(default\b|MIL-HDBK-338B table, transcribed|MIL-HDBK-217F N2 )/);
      }
    }
  });

  test('each pair of terminals of a transistor can short by itself, and all three together', () => {
    const joins = (name: string): string[] =>
      kind(name)
        .modes.filter((m) => m.name.endsWith('short'))
        .map((m) => m.joins.flat().join(''));
    expect(joins('n-mosfet')).toEqual(['DS', 'DSGSGD', 'GS', 'GD']);
    expect(joins('igbt')).toEqual(['CE', 'CEGEGC', 'GE', 'GC']);
    expect(joins('npn')).toEqual(['CE', 'BC', 'BE', 'CEBEBC']);
  });

  test('splits of a handbook figure keep its sum', () => {
    expect(shortShare('ceramic')).toBeCloseTo(0.49, 9);
    expect(shortShare('film')).toBeCloseTo(0.4, 9);
    expect(shortShare('electrolytic')).toBeCloseTo(0.53, 9);
    expect(shortShare('tantalum')).toBeCloseTo(0.69, 9);
    expect(shortShare('diode')).toBeCloseTo(0.49, 9);
    expect(shortShare('npn')).toBeCloseTo(0.73, 9);
    expect(shortShare('pnp')).toBeCloseTo(0.73, 9);
  });

  test('ranks shorts as repair shops meet them', () => {
    const weight = (name: string): number => kind(name).fitRate * shortShare(name);
    expect(weight('n-mosfet')).toBeGreaterThan(weight('electrolytic'));
    expect(weight('electrolytic')).toBeGreaterThan(weight('ceramic'));
    expect(weight('diode')).toBeGreaterThan(weight('ceramic'));
    expect(weight('ceramic')).toBeGreaterThan(10 * weight('resistor'));
    expect(weight('thermistor')).toBeLessThan(weight('diode'));
  });

  test('says junctions the right way round', () => {
    const junction = (name: string): string[] =>
      kind(name).healthy.flatMap((e) => (e.element === 'junction' ? [`${e.from}${e.to}`] : []));
    expect(junction('n-mosfet')).toEqual(['SD']);
    expect(junction('p-mosfet')).toEqual(['DS']);
    expect(junction('npn')).toEqual(['BE', 'BC']);
    expect(junction('pnp')).toEqual(['EB', 'CB']);
    expect(junction('igbt')).toEqual(['EC']);
    expect(junction('diode')).toEqual(['AK']);
  });

  test('only links are marked as links', () => {
    expect(kinds.filter((k) => k.link).map((k) => k.name)).toEqual(['jumper']);
  });

  test('is read once and kept', () => {
    expect(catalogue()).toBe(catalogue());
  });

  test('says what is wrong with a kind, and where', () => {
    const text = `box:
  title: box
  pins: [A, B]
  pin-aliases: {x: C}
  resistances: [{between: [A, Z], ohms: value}]
  modes:
    short: {share: 0.7, joins: [["@each", "@neighbour"]]}
    open: {share: 0.6}
  fit-rate: 1
`;
    let found: string[] = [];
    try {
      readCatalogue(text, 'my-kinds.yaml');
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      found = error.diagnostics.map((d) => `${d.place?.line} ${d.code}`);
    }
    expect(found).toEqual(['4 UNKNOWN_PIN', '5 UNKNOWN_PIN', '7 BAD_SHARES', '7 UNKNOWN_PIN']);
  });

  test('keeps its own file in the plain part of YAML, one mode to a line', () => {
    const text = readFileSync('src/board/kinds.yaml', 'utf8');
    expect(text).not.toMatch(/\{\s*$/m);
  });

  test('comes back whole from the form that the build keeps it in', () => {
    expect(catalogueFrom(catalogueText(catalogue()))).toEqual(catalogue());
  });
});
