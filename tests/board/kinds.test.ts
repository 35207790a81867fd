import { describe, expect, test } from 'vitest';
import { catalogue, readCatalogue } from '../../src/board/catalogue.ts';
import { type Diagnostic, InputError } from '../../src/board/diagnostic.ts';
import { EXTRA_KINDS } from '../../src/board/import/extra-kinds.ts';
import { loadBoard } from '../../src/board/load.ts';
import type { Kind } from '../../src/board/model.ts';

/** One kind `box` with pins A, B and W, from the rest of its entry. */
function box(...lines: string[]): Kind {
  const text = ['box:', '  title: box', '  pins: [A, B, W]', '  fit-rate: 1', ...lines].join('\n');
  return readCatalogue(`${text}\n`, 'kinds.yaml').get('box') as Kind;
}

function complaintsOf(run: () => unknown): Diagnostic[] {
  try {
    run();
  } catch (error) {
    if (error instanceof InputError) return [...error.diagnostics];
    throw error;
  }
  return [];
}

describe('a kind', () => {
  test('may say that it breaks down at the rated volts, and for which ratings', () => {
    const { healthy } = box(
      '  junctions:',
      '    - {from: A, to: B, volts: 0.6}',
      '    - {from: B, to: A, volts: rated, rated-amps: 0.005, rated-from: 3V3, rated-below: 6, slope: 9}',
    );
    expect(healthy).toEqual([
      { element: 'junction', from: 'A', to: 'B', volts: 0.6, slope: 1.7 },
      {
        element: 'junction',
        from: 'B',
        to: 'A',
        volts: 'rated',
        slope: 9,
        ratedAmps: 0.005,
        ratedFrom: 3.3,
        ratedBelow: 6,
      },
    ]);
  });

  test('may put junctions between roles', () => {
    const { healthy } = box('  junctions: [{from: "@ground", to: "@each", volts: 0.6}]');
    expect(healthy).toMatchObject([{ from: '@ground', to: '@each' }]);
  });

  test('may fail by scaling, cutting, touching a heatsink and becoming a junction', () => {
    const { modes } = box(
      '  modes:',
      '    high: {share: 0.1, scales: [10, 2]}',
      '    wiper off: {share: 0.1, cuts: [W]}',
      '    insulator: {share: 0.1, to-heatsink: B}',
      '    one way: {share: 0.1, junctions: [{from: A, to: B, volts: 0.7}]}',
      '    short: {share: 0.1, joins: [[A, B]]}',
    );
    expect(modes[0]?.scales).toEqual([2, 10]);
    expect(modes[1]?.cuts).toEqual(['W']);
    expect(modes[2]?.toHeatsink).toBe('B');
    expect(modes[3]?.junctions).toMatchObject([{ from: 'A', to: 'B', volts: 0.7 }]);
    expect(Object.keys(modes[4] ?? {})).not.toContain('scales');
  });

  test.each([
    [
      '  junctions: [{from: A, to: "@grund", volts: 0.6}]',
      'UNKNOWN_PIN',
      'did you mean "@ground"?',
    ],
    ['  junctions: [{from: A, to: "@next", volts: 0.6}]', 'UNKNOWN_PIN', undefined],
    ['  junctions: [{from: A, to: B, volts: ratd}]', 'BAD_VALUE', undefined],
    ['  modes: {wiper off: {share: 0.1, cuts: [Z]}}', 'UNKNOWN_PIN', undefined],
    ['  modes: {tab: {share: 0.1, to-heatsink: "@each"}}', 'UNKNOWN_PIN', undefined],
    ['  modes: {high: {share: 0.1, scales: [2]}}', 'WRONG_LENGTH', undefined],
    ['  modes: {high: {share: 0.1, scale: [2, 3]}}', 'UNKNOWN_KEY', 'did you mean "scales"?'],
  ])('is refused with %s', (line, code, hint) => {
    const [first] = complaintsOf(() => box(line));
    expect(first).toMatchObject({ code, place: { line: 5 } });
    if (hint !== undefined) expect(first?.hint).toBe(hint);
  });

  test('of the catalogue gives every junction a slope of its own', () => {
    for (const { name, healthy } of catalogue().values()) {
      for (const spec of healthy) {
        if (spec.element !== 'junction') continue;
        expect(spec.slope, name).toBeGreaterThanOrEqual(1);
        if (spec.volts !== 'rated') expect(spec.slope, name).toBeLessThanOrEqual(2.5);
      }
    }
  });
});

test.each(Object.entries(EXTRA_KINDS))(
  'the kind %s that imports write can be read',
  (name, text) => {
    const indented = text.replace(/^/gm, '  ');
    const kind = readCatalogue(`${name}:\n${indented}\n`, 'extra.yaml').get(name);
    expect(kind?.pins.length).toBeGreaterThan(2);
  },
);

describe('heatsinks', () => {
  const board = (heatsinks: string): string =>
    [
      'board: Winch drive',
      'parts:',
      '  Q1: {kind: n-mosfet, pins: [G, P24, OUT], heatsink: rear}',
      '  J1: {kind: connector, pins: {1: P24, 2: PE}}',
      `heatsinks: ${heatsinks}`,
    ].join('\n');

  test('may be wired to a net', () => {
    const { board: read } = loadBoard(board('{rear: {net: PE}}'), 'x');
    expect(read.heatsinks).toEqual([{ name: 'rear', net: read.netNamed.get('PE')?.index }]);
  });

  test('without a part or a net of theirs are errors', () => {
    const found = complaintsOf(() => loadBoard(board('{raer: {net: EP}}'), 'x'));
    expect(found.map(({ code, message, hint }) => `${code}: ${message}; ${hint}`)).toEqual([
      'UNKNOWN_HEATSINK: no part is on a heatsink "raer"; did you mean "rear"?',
      'UNKNOWN_NET: no part is on a net "EP"; did you mean "PE"?',
    ]);
  });
});
