import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/board/diagnostic.ts';
import { loadBoard } from '../../src/board/load.ts';
import { SHARED_WORDS } from '../../src/board/names.ts';
import { AS_FOUND, type BoardState, withLifted, withOff } from '../../src/circuit/state.ts';
import { parseSay } from '../../src/job/notation.ts';
import { printSay } from '../../src/job/print-say.ts';
import { parseValue } from '../../src/job/value.ts';
import { faultsOf, pointedAt } from './refused-line.ts';
import { says } from './say-arbitrary.ts';
import { tinyBoard } from './tiny-board.ts';

const board = tinyBoard();
const part = (name: string): number => board.partNamed.get(name)?.index ?? -1;
const net = (name: string): number => board.netNamed.get(name)?.index ?? -1;
const pin = (name: string): number => {
  const dot = name.indexOf('.');
  const own = board.partNamed.get(name.slice(0, dot))?.pins ?? [];
  return own.find((index) => board.pins[index]?.name === name.slice(dot + 1)) ?? -1;
};

function canonical(text: string, state?: BoardState): string {
  return printSay(board, parseSay(board, text, state));
}

describe('readings', () => {
  it('takes the red point first, and a pin as its pad', () => {
    expect(parseSay(board, 'Q1.D GND 0.4 ohm')).toStrictEqual({
      do: 'read',
      reading: {
        mode: 'ohms',
        red: { net: net('P48'), pin: pin('Q1.D') },
        black: { net: net('GND') },
        value: { kind: 'ohms', ohms: 0.4 },
      },
    });
  });

  it.each([
    ['P48 GND beep', 'continuity'],
    ['P48 GND quiet', 'continuity'],
    ['P48 GND OL', 'ohms'],
    ['P48 GND 12 mohm', 'four-wire'],
    ['D3.A D3.K 0.52 V', 'diode'],
    ['P48 GND OL diode', 'diode'],
    ['P48 GND OL continuity', 'continuity'],
    ['P48 GND OL four-wire', 'four-wire'],
  ])('"%s" is a %s reading and is its own canonical form', (text, mode) => {
    expect(parseSay(board, text)).toMatchObject({ reading: { mode } });
    expect(canonical(text)).toBe(text);
  });

  it.each([
    ['p48 gnd BEEP', 'P48 GND beep'],
    ['P48   GND\t0.4ohm ', 'P48 GND 0.4 ohm'],
    ['P48 GND 0,4 Ω', 'P48 GND 0.4 ohm'],
    ['P48 GND 0.4 \u2126', 'P48 GND 0.4 ohm'],
    ['P48 GND 0.4 ohms', 'P48 GND 0.4 ohm'],
    ['P48 GND 0.4 R', 'P48 GND 0.4 ohm'],
    ['P48 GND 4R7', 'P48 GND 4.7 ohm'],
    ['P48 GND 4k7', 'P48 GND 4.7 kohm'],
    ['P48 GND 4.7k', 'P48 GND 4.7 kohm'],
    ['P48 GND 4.7 kΩ', 'P48 GND 4.7 kohm'],
    ['P48 GND 1.2 MΩ', 'P48 GND 1.2 Mohm'],
    ['P48 GND 12 mΩ', 'P48 GND 12 mohm'],
    ['P48 GND 12 mohm ohms', 'P48 GND 0.012 ohm'],
    ['P48 GND 0.012 ohm four-wire', 'P48 GND 12 mohm'],
    ['D3.A D3.K 520 mV', 'D3.A D3.K 0.52 V'],
    ['D3.A D3.K .52 diode', 'D3.A D3.K 0.52 V'],
    ['P48 GND 0L', 'P48 GND OL'],
    ['P48 GND o.l', 'P48 GND OL'],
    ['P48 GND open', 'P48 GND OL'],
    ['Q1.drain Q1.s beep', 'Q1.D Q1.S beep'],
    ['TP4 P48 beep', 'GND P48 beep'],
    ['J1.2 P48 beep', 'GND P48 beep'],
    ['TP1 GND beep', 'TP1.1 GND beep'],
    ['/~{RST}# Ωµ:;"net beep', '/~{RST}# Ωµ:;"net beep'],
    ['U1.5.a Net-(U1-5) beep', 'U1.5.a Net-(U1-5) beep'],
    ['off Q3: D S 0.4 ohm', 'off Q3: D S 0.4 ohm'],
    ['off q3 :d Q3.S beep', 'off Q3: D S beep'],
    ['OFF Q3:D S OL', 'off Q3: D S OL'],
  ])('"%s" means "%s"', (text, meant) => {
    expect(canonical(text)).toBe(meant);
  });

  it('keeps nets apart that differ only in letter case', () => {
    expect(parseSay(board, 'OUT GND beep')).toMatchObject({
      reading: { red: { net: net('OUT') } },
    });
    expect(parseSay(board, 'out GND beep')).toMatchObject({
      reading: { red: { net: net('out') } },
    });
    expect(faultsOf(board, 'Out GND beep')[0]?.code).toBe('UNCLEAR_POINT');
  });

  it.each([
    ['P48 GND 0.4', 'NO_UNIT', '0.4'],
    ['P48 GND 12 m', 'BAD_UNIT', '12 m'],
    ['P48 GND 3 farad', 'BAD_UNIT', '3 farad'],
    ['P48 GND -0.2 ohm', 'BAD_VALUE', '-0.2 ohm'],
    ['P48 GND 1,000 ohm', 'BAD_VALUE', '1,000 ohm'],
    ['P48 GND 1e999 ohm', 'BAD_VALUE', '1e999 ohm'],
    ['P48 GND b', 'BAD_VALUE', 'b'],
    ['P48 GND beep beep', 'EXTRA_WORDS', 'beep'],
    ['P48 GND 0.4 ohm diode', 'VALUE_MODE', '0.4 ohm diode'],
    ['P48 GND 0.4 V ohms', 'VALUE_MODE', '0.4 V ohms'],
    ['P48 GND', 'NOT_A_READING', 'P48 GND'],
    ['GND GND beep', 'SAME_POINT', 'GND GND'],
    ['Q3 GND beep', 'PART_AS_POINT', 'Q3'],
    ['Q3.X GND beep', 'UNKNOWN_PIN', 'Q3.X'],
    ['off Q3: D X beep', 'UNKNOWN_PIN', 'X'],
    ['off Q9: D S beep', 'UNKNOWN_PART', 'Q9'],
    ['off Q3: D beep', 'NOT_A_READING', 'off Q3: D beep'],
    ['', 'EMPTY_LINE', ''],
  ])('"%s" is refused with %s, pointing at "%s"', (text, code, spot) => {
    expect(faultsOf(board, text).map((fault) => fault.code)).toEqual([code]);
    expect(pointedAt(board, text)).toEqual([spot]);
  });

  it('tells every unknown name of a line at once, each with its nearest', () => {
    const faults = faultsOf(board, 'P84 GMD beep');
    expect(faults.map((fault) => fault.hint)).toEqual([
      'did you mean "P48"?',
      'did you mean "GND"?',
    ]);
    expect(pointedAt(board, 'P84 GMD beep')).toEqual(['P84', 'GMD']);
  });

  it('points into the file line a text came from', () => {
    const place = { file: 'a.readings', line: 7, column: 5, text: '  - P84 GND beep' };
    try {
      parseSay(board, 'P84 GND beep', undefined, place);
      expect.unreachable();
    } catch (error) {
      const found = (error as InputError).diagnostics[0]?.place;
      expect(found).toEqual({
        file: 'a.readings',
        line: 7,
        column: 5,
        endColumn: 8,
        text: place.text,
      });
    }
  });

  it('takes a bare number in the unit the prompt asked for', () => {
    expect(parseValue('0.4', 'ohms')).toEqual({ mode: 'ohms', value: { kind: 'ohms', ohms: 0.4 } });
    expect(parseValue('12', 'four-wire').value).toEqual({ kind: 'ohms', ohms: 0.012 });
    expect(parseValue('0.52', 'diode').value).toEqual({ kind: 'volts', volts: 0.52 });
    expect(parseValue('OL', 'diode')).toEqual({ mode: 'diode', value: { kind: 'over' } });
    expect(() => parseValue('12')).toThrow(InputError);
  });
});

describe('work on the board', () => {
  it('lifts the second leg of a two-pin part that is named alone', () => {
    expect(parseSay(board, 'lift W3')).toEqual({
      do: 'lift',
      part: part('W3'),
      pins: [pin('W3.2')],
    });
    expect(canonical('lift W3.2')).toBe('lift W3');
    expect(canonical('lift W3.1')).toBe('lift W3.1');
  });

  it('asks which leg when a part has more', () => {
    const [fault] = faultsOf(board, 'lift Q3');
    expect(fault?.code).toBe('WHICH_LEG');
    expect(fault?.hint).toContain('lift Q3.D');
    expect(fault?.hint).toContain('remove Q3');
  });

  it.each([
    'lift Q3.D Q3.S',
    'remove Q3 Q1',
    'refit W3',
    'replace Q3',
    'reflow Q3.D W3',
    'clean P48 GND',
    'mend P48',
    'link P48 OUT',
    'look Q3 burnt',
    'look Q3 wrong part',
    'look Q3.D off its pad',
    'look P48 GND looks sound',
    'undo',
    'undo 3',
    'note fan was jammed;  see photo "a #1"',
  ])('"%s" is its own canonical form', (text) => {
    expect(canonical(text)).toBe(text);
  });

  it.each([
    ['lfit Q3.D', 'UNKNOWN_WORD', 'did you mean "lift"?'],
    ['remve Q3 Q1', 'UNKNOWN_WORD', 'did you mean "remove"?'],
    ['lift', 'NAME_COUNT', 'e.g. lift Q3.D'],
    ['mend P48 GND', 'NAME_COUNT', 'e.g. mend P48'],
    ['lift Q3.D Q1.D', 'TWO_PARTS', 'write one line for each part'],
    ['remove Q3 Q3', 'NAMED_TWICE', 'name each once'],
    ['remove Q33', 'UNKNOWN_PART', 'did you mean "Q3"?'],
    ['remove Q3.D', 'UNKNOWN_PART', 'did you mean "Q3"?'],
    ['clean P48 Q1.D', 'SAME_NET', 'name two nets'],
    ['look Q3 brunt', 'UNKNOWN_FINDING', 'did you mean "burnt"?'],
    [
      'look Q3 off its pad',
      'WHICH_LEG',
      'write look Q3.G off its pad, look Q3.D off its pad, look Q3.S off its pad',
    ],
    ['look Q3.D missing', 'BAD_LOOK', 'write look Q3 missing'],
    [
      'look P48 GND burnt',
      'BAD_LOOK',
      'write look A B looks sound, or clean A B once a bridge is removed',
    ],
    ['undo 0', 'BAD_COUNT', 'write undo, or undo 3'],
    ['note  ', 'EMPTY_NOTE', 'e.g. note fan was jammed'],
  ])('"%s" is refused with %s: %s', (text, code, hint) => {
    expect(faultsOf(board, text).map((fault) => [fault.code, fault.hint])).toEqual([[code, hint]]);
  });
});

describe('what cannot be true of the board now', () => {
  const q3Off = withOff(AS_FOUND, [part('Q3')]);
  const q3Hanging = withLifted(AS_FOUND, [pin('Q3.D'), pin('Q3.G')]);

  it('a part is read on its own legs only when at most one of them is on the board', () => {
    const [fault] = faultsOf(board, 'off Q3: D S 0.4 ohm', AS_FOUND);
    expect(fault?.message).toBe('Q3 is still on the board');
    expect(fault?.hint).toBe('lift or remove it first, or read from its pads: Q3.D');
    expect(faultsOf(board, 'off Q3: D S beep', withLifted(AS_FOUND, [pin('Q3.D')]))).toHaveLength(
      1,
    );
    expect(canonical('off Q3: D S beep', q3Off)).toBe('off Q3: D S beep');
    expect(canonical('off Q3: D S beep', q3Hanging)).toBe('off Q3: D S beep');
    expect(canonical('off W3: 1 2 beep', withLifted(AS_FOUND, [pin('W3.2')]))).toBe(
      'off W3: 1 2 beep',
    );
  });

  it.each([
    ['refit Q3', AS_FOUND],
    ['lift Q3.D', q3Off],
    ['lift Q3.S Q3.D', q3Hanging],
    ['remove Q3', q3Off],
    ['reflow Q3.D', q3Hanging],
    ['reflow Q3.S', q3Off],
    ['link P48 OUT', { ...AS_FOUND, links: [[net('OUT'), net('P48')] as const] }],
  ])('"%s" is refused', (text, state) => {
    expect(faultsOf(board, text, state).map((fault) => fault.code)).toEqual(['NOT_NOW']);
  });

  it.each([
    ['refit Q3', q3Off],
    ['refit Q3', q3Hanging],
    ['lift Q3.S', q3Hanging],
    ['remove Q3', q3Hanging],
    ['replace Q3', AS_FOUND],
    ['replace Q3', q3Off],
    ['Q3.D Q3.S beep', q3Off],
  ])('"%s" may stand', (text, state) => {
    expect(canonical(text, state)).toBe(text);
  });
});

describe('laws', () => {
  it('reads back what it prints', () => {
    fc.assert(
      fc.property(says(board), (say) => {
        expect(parseSay(board, printSay(board, say))).toStrictEqual(say);
      }),
      { numRuns: 1000 },
    );
  });

  const shipped = readdirSync('boards').filter((file) => file.endsWith('.yaml'));

  it.each(shipped)('reads back what it prints of %s', (file) => {
    const { board: real } = loadBoard(readFileSync(`boards/${file}`, 'utf8'), file);
    fc.assert(
      fc.property(says(real), (say) => {
        expect(parseSay(real, printSay(real, say))).toStrictEqual(say);
      }),
      { numRuns: 150 },
    );
  });

  it('answers any text with a say or an InputError that names a place', () => {
    const words = fc.constantFrom(
      'off',
      'lift',
      'look',
      'Q3',
      'Q3:',
      'Q3.D',
      'P48',
      ':',
      'beep',
      '4k7',
      'OL',
      'ohms',
      '1e9',
      '#',
      'undo',
      'off its pad',
      ...SHARED_WORDS,
      'passed',
      'stopped',
      '"a',
      '71 C',
      '-0 V',
      '2 h',
      '__proto__',
      'constructor',
    );
    const text = fc.oneof(
      fc.string({ unit: 'binary' }),
      fc.array(words, { maxLength: 7 }).map((all) => all.join(' ')),
    );
    fc.assert(
      fc.property(text, (line) => {
        try {
          const say = parseSay(board, line, AS_FOUND);
          expect(parseSay(board, printSay(board, say))).toStrictEqual(say);
        } catch (error) {
          expect(error).toBeInstanceOf(InputError);
          const { diagnostics } = error as InputError;
          expect(diagnostics.length).toBeGreaterThan(0);
          for (const { place } of diagnostics)
            expect(place?.endColumn).toBeGreaterThan(place?.column ?? 0);
        }
      }),
      { numRuns: 1000 },
    );
  });
});
