import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readReadings } from '../../src/bench/readings-file.ts';
import { type CompareOptions, type Comparison, compareReadings } from '../../src/job/compare.ts';
import type { SavedReading } from '../../src/job/saved-reading.ts';
import { tinyBoard } from './tiny-board.ts';

const board = tinyBoard();

function saved(...lines: string[]): readonly SavedReading[] {
  return readReadings(lines.join('\n'), 'some.readings').readings;
}

function compare(before: string[], after: string[], options?: CompareOptions): Comparison {
  return compareReadings(saved(...before), saved(...after), options);
}

function changes(before: string[], after: string[]): string[] {
  return compare(before, after).pairs.map(({ red, black, change }) => `${red} ${black} ${change}`);
}

describe('millivolts along copper', () => {
  it('are counted and compared with nothing: no short shows in them', () => {
    const on = ['inject P48 GND 0.5 A', 'P48 GND 0.2 mV', 'inject off'];
    const compared = compare(['P48 GND quiet', ...on], ['P48 GND quiet']);
    expect(compared.pairs.map(({ change }) => change)).toEqual(['unchanged']);
    expect(compared).toMatchObject({ alongCopper: 1, differs: false });
    expect(compare(['P48 GND quiet'], ['P48 GND quiet'])).not.toHaveProperty('alongCopper');
  });
});

describe('pair by pair', () => {
  it.each([
    ['P48 GND beep', 'P48 GND quiet', 'cleared'],
    ['P48 GND 0.4 ohm', 'P48 GND OL', 'cleared'],
    ['P48 GND beep', 'GND P48 12 kohm', 'cleared'],
    ['P48 GND 0.4 ohm', 'P48 GND beep', 'still short'],
    ['P48 GND 0.4 ohm', 'P48 GND 5 ohm', 'still short'],
    ['P48 GND quiet', 'P48 GND 0.4 ohm', 'newly short'],
    ['P48 GND OL', 'P48 GND 40 mohm', 'newly short'],
    ['P48 GND 4.7 kohm', 'P48 GND 4.8 kohm', 'unchanged'],
    ['P48 GND 4.7 kohm', 'P48 GND 5.7 kohm', 'changed'],
    ['P48 GND 40.1 ohm', 'P48 GND 40.3 ohm', 'unchanged'],
    ['P48 GND OL', 'P48 GND 12 kohm', 'changed'],
    ['P48 GND quiet', 'P48 GND 12 kohm', 'unchanged'],
    ['P48 GND OL continuity', 'P48 GND 12 kohm', 'unchanged'],
    ['P48 GND quiet', 'P48 GND OL', 'unchanged'],
    ['D3.A D3.K 0.52 V', 'D3.A D3.K 0.53 V', 'unchanged'],
    ['D3.A D3.K 0.52 V', 'D3.A D3.K 0.41 V', 'changed'],
    ['D3.A D3.K 0.52 V', 'D3.A D3.K OL diode', 'changed'],
    ['D3.A D3.K 0.002 V', 'D3.A D3.K 0.52 V', 'cleared'],
    ['D3.A D3.K OL diode', 'D3.A D3.K 0.01 V', 'newly short'],
  ])('%s, then %s: %s', (before, after, change) => {
    expect(compare([before], [after]).pairs.map((pair) => pair.change)).toEqual([change]);
  });

  it('keeps the two ways round of a diode reading apart, and readings off the board', () => {
    expect(changes(['D3.A D3.K 0.52 V'], ['D3.K D3.A OL diode'])).toEqual([
      'D3.A D3.K missing after',
      'D3.K D3.A missing before',
    ]);
    expect(changes(['off Q3: D S 0.4 ohm'], ['off q4: D S 0.4 ohm'])).toEqual([
      'D S missing after',
      'D S newly short',
    ]);
  });

  it('counts a short read only afterwards as new, and anything else there as missing before', () => {
    expect(changes([], ['P48 GND beep', 'V5 GND quiet'])).toEqual([
      'P48 GND newly short',
      'V5 GND missing before',
    ]);
  });

  it('lets the last of repeated readings count, and tells when they cannot all be right', () => {
    const { pairs, contradictory } = compare(
      ['P48 GND beep', 'P48 GND quiet'],
      ['P48 GND quiet', 'GND P48 OL'],
    );
    expect(pairs.map((pair) => pair.change)).toEqual(['unchanged']);
    expect(
      contradictory.map(({ side, readings }) => [side, readings.map(({ line }) => line)]),
    ).toEqual([['before', [1, 2]]]);
    expect(
      compare(['P48 GND beep', 'lift W3', 'P48 GND quiet'], ['P48 GND quiet']).contradictory,
    ).toEqual([]);
  });

  it('does not call a pair short that beeps on a healthy board', () => {
    const options: CompareOptions = {
      expectedBeep: ({ red }) => red.net === board.netNamed.get('OUT')?.index,
    };
    const read = (text: string): readonly SavedReading[] => readReadings(text, 'x', board).readings;
    const wind = (before: string, after: string): string | undefined =>
      compareReadings(read(before), read(after), options).pairs[0]?.change;
    expect(wind('OUT GND beep', 'OUT GND beep')).toBe('unchanged');
    expect(wind('OUT GND 0.6 ohm', 'OUT GND beep')).toBe('unchanged');
    expect(wind('OUT GND beep', 'OUT GND quiet')).toBe('changed');
    expect(wind('OUT GND 6 ohm', 'OUT GND 3 ohm')).toBe('changed');
    expect(wind('P48 GND beep', 'P48 GND beep')).toBe('still short');
  });

  it('goes by limits that can be changed', () => {
    const wide = { tolerance: { relative: 0.5 } };
    expect(compare(['P48 GND 4.7 kohm'], ['P48 GND 6 kohm'], wide).worst).toBe('unchanged');
    expect(compare(['A B 25 ohm'], ['A B 26 ohm'], { tolerance: { shortOhms: 10 } }).worst).toBe(
      'unchanged',
    );
  });
});

describe('the whole', () => {
  it('differs when anything is short or missing, not when values only changed', () => {
    expect(compare(['A B beep'], ['A B quiet'])).toMatchObject({
      worst: 'cleared',
      differs: false,
    });
    expect(compare(['A B 4 kohm'], ['A B 9 kohm'])).toMatchObject({
      worst: 'changed',
      differs: false,
    });
    expect(compare(['A B quiet', 'A C beep'], ['A B quiet'])).toMatchObject({
      worst: 'missing after',
      differs: true,
    });
    expect(compare(['A B beep'], ['A B beep'])).toMatchObject({
      worst: 'still short',
      differs: true,
    });
    expect(compare([], [])).toMatchObject({ pairs: [], worst: undefined, differs: false });
  });

  it('is unchanged against itself, but for what is short', () => {
    const value = fc.constantFrom(
      'beep',
      'quiet',
      'OL',
      '0.4 ohm',
      '12 kohm',
      '40 mohm',
      '0.5 V',
      'OL diode',
    );
    const net = fc.constantFrom('A', 'B', 'C', 'D');
    const line = fc
      .tuple(net, net, value)
      .filter(([a, b]) => a !== b)
      .map((words) => words.join(' '));
    fc.assert(
      fc.property(fc.array(line, { maxLength: 12 }), (lines) => {
        const { pairs } = compare(lines, lines);
        for (const { change } of pairs) expect(['unchanged', 'still short']).toContain(change);
        expect(
          new Set(pairs.map((pair) => `${pair.family}${[pair.red, pair.black].join(' ')}`)).size,
        ).toBe(pairs.length);
      }),
      { numRuns: 200 },
    );
  });
});
