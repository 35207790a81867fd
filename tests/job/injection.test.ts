import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/board/diagnostic.ts';
import { AS_FOUND } from '../../src/circuit/state.ts';
import { admit, deriveJob } from '../../src/job/derive.ts';
import { parseSay, parseSayUnder } from '../../src/job/notation.ts';
import { printSay } from '../../src/job/print-say.ts';
import type { Say } from '../../src/job/say.ts';
import { parseValue } from '../../src/job/value.ts';
import { events } from './events.ts';
import { alongCopper, injections } from './say-arbitrary.ts';
import { tinyBoard } from './tiny-board.ts';

const board = tinyBoard();
const net = (name: string): number => board.netNamed.get(name)?.index ?? -1;
const pin = (name: string): number => {
  const [part = '', leg = ''] = name.split('.');
  const own = board.partNamed.get(part)?.pins ?? [];
  return own.find((index) => board.pins[index]?.name === leg) ?? -1;
};
const HALF_AMP = { red: { net: net('P48') }, black: { net: net('GND') }, amps: 0.5 };

/** The line as the record would print it, said after others. */
function canonical(text: string, ...before: string[]): string {
  return printSay(board, admit(board, deriveJob(board, events(...before)), text));
}

/** What a line is refused with, said after others. */
function refusal(text: string, ...before: string[]): string {
  try {
    canonical(text, ...before);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    return error.diagnostics.map(({ message, hint }) => `${message} (${hint})`).join('\n');
  }
  throw new Error(`"${text}" was accepted`);
}

const ON = 'inject P48 GND 0.5 A';

describe('an injected current', () => {
  it.each([
    [ON, ON],
    ['INJECT p48 gnd 500mA', ON],
    ['inject P48 GND 0,5 A', ON],
    ['inject Q1.D Q3.S 1 A', 'inject Q1.D Q3.S 1 A'],
    ['inject Q1.D Q3.D 20 mA', 'inject Q1.D Q3.D 0.02 A'],
  ])('"%s" is kept as "%s"', (text, kept) => {
    expect(canonical(text)).toBe(kept);
  });

  it('says plus first', () => {
    expect(parseSay(board, ON)).toStrictEqual({ do: 'inject', ...HALF_AMP });
  });

  it.each([
    ['inject', 'two points'],
    ['inject P48', 'two points'],
    ['inject P48 GND', 'the value is missing'],
    ['inject P48 GND 0.5', '"0.5" is not a value'],
    ['inject P48 GND 0.5 V', '"0.5 V" is not a value'],
    ['inject P48 GND 0 A', 'above zero'],
    ['inject P48 GND -0.5 A', 'above zero'],
    ['inject P48 GND 500 A', 'far more'],
    ['inject P48 P48 0.5 A', 'both probes are on "P48"'],
    ['inject P84 GND 0.5 A', 'did you mean "P48"'],
    ['inject off now', 'stands alone'],
    ['inject off', 'no current is injected (say what is injected first: inject P48 GND 0.5 A)'],
  ])('"%s" is refused: %s', (text, why) => {
    expect(refusal(text)).toContain(why);
  });

  it('is on from its line to "inject off", and a second line changes it', () => {
    const { evidence } = deriveJob(board, events(ON));
    expect(evidence.injection).toStrictEqual(HALF_AMP);
    expect(deriveJob(board, events(ON, 'inject P48 GND 1 A')).evidence.injection?.amps).toBe(1);
    const off = deriveJob(board, events(ON, 'inject off')).evidence;
    expect(off).not.toHaveProperty('injection');
    expect(off.lastInjection).toStrictEqual(HALF_AMP);
  });

  it('is taken back, and put back, by undo', () => {
    expect(deriveJob(board, events(ON, 'undo')).evidence).not.toHaveProperty('lastInjection');
    const { evidence } = deriveJob(board, events(ON, 'inject off', 'undo'));
    expect(evidence.injection).toStrictEqual(HALF_AMP);
    expect(canonical('P48 GND 1.8 mV', ON, 'inject off', 'undo')).toBe('P48 GND 1.8 mV');
    expect(canonical('P48 GND 1.8 mV', ON, 'undo')).toBe('P48 GND 0.0018 V');
  });
});

describe('millivolts along copper', () => {
  it.each([
    ['Q1.D Q3.D 1.8 mV', 'Q1.D Q3.D 1.8 mV'],
    ['Q1.D Q3.D 1.8 mV millivolts', 'Q1.D Q3.D 1.8 mV'],
    ['Q1.D Q3.D 1.8 millivolts', 'Q1.D Q3.D 1.8 mV'],
    ['Q1.D Q3.D 0.0018 V', 'Q1.D Q3.D 1.8 mV'],
    ['Q1.D Q3.D 1800 uV', 'Q1.D Q3.D 1.8 mV'],
    ['Q1.D Q3.D 1800 µV', 'Q1.D Q3.D 1.8 mV'],
    ['Q1.D Q3.D 1800 μV', 'Q1.D Q3.D 1.8 mV'],
    ['Q1.D Q3.D -0.3 mV', 'Q1.D Q3.D -0.3 mV'],
    ['Q1.D Q3.D -0 mV', 'Q1.D Q3.D 0 mV'],
    ['P48 GND 12 mV', 'P48 GND 12 mV'],
  ])('under a current "%s" is kept as "%s"', (text, kept) => {
    expect(canonical(text, ON)).toBe(kept);
  });

  it('carry the current they were read under', () => {
    const { readings } = deriveJob(
      board,
      events(ON, 'Q1.D Q3.D -0.3 mV', 'inject P48 GND 1 A', 'Q1.D Q3.D -0.6 mV'),
    ).evidence;
    expect(readings).toMatchObject([
      {
        mode: 'millivolts',
        red: { pin: pin('Q1.D') },
        value: { kind: 'volts', volts: -0.0003 },
        injected: HALF_AMP,
      },
      { injected: { amps: 1 } },
    ]);
  });

  it('are no such thing without a current: there they are a diode test, or refused', () => {
    expect(canonical('D3.A D3.K 520 mV')).toBe('D3.A D3.K 0.52 V');
    const hint = 'say what is injected first: inject P48 GND 0.5 A';
    expect(refusal('Q1.D Q3.D 1.8 mV millivolts')).toContain(hint);
    expect(refusal('Q1.D Q3.D 30 uV')).toContain(hint);
    expect(refusal('Q1.D Q3.D 1.8 mV millivolts', ON, 'inject off')).toContain(hint);
    expect(refusal('Q1.D Q3.D -1.8 mV')).toContain('below zero');
  });

  it('are never read on a part off the board', () => {
    expect(refusal('off Q3: D S 1.8 mV millivolts', 'remove Q3', ON)).toContain(
      'no injected current runs through Q3 off the board',
    );
  });

  it('a prompt that asks for them takes a bare figure in mV', () => {
    const value = { kind: 'volts', volts: -0.0003 };
    expect(parseValue('-0.3', 'millivolts')).toEqual({ mode: 'millivolts', value });
    expect(parseValue('-300 uV', 'millivolts')).toEqual({ mode: 'millivolts', value });
  });

  it('come back as they were printed, under any current', () => {
    fc.assert(
      fc.property(injections(board), alongCopper(board), (injection, reading) => {
        const say: Say = { do: 'read', reading: { ...reading, injected: injection } };
        const under = { state: AS_FOUND, injection };
        expect(parseSayUnder(board, printSay(board, say), under)).toStrictEqual(say);
      }),
      { numRuns: 500 },
    );
  });
});

describe('any line said under a current', () => {
  const word = fc.constantFrom(
    'inject',
    'off',
    'INJECT',
    'P48',
    'GND',
    'Q1.D',
    'C7',
    '0.5',
    '-0.5',
    'A',
    'mA',
    'mV',
    'uV',
    'µV',
    '-0.3mV',
    'millivolts',
    'diode',
    'beep',
    'OL',
    'look',
    'warm',
    'off Q3:',
  );
  const line = fc.array(word, { maxLength: 6 }).map((words) => words.join(' '));

  it('is a say that reads back, or refused in words with a place', () => {
    fc.assert(
      fc.property(line, fc.boolean(), (text, isOn) => {
        const under = { state: AS_FOUND, ...(isOn ? { injection: HALF_AMP } : {}) };
        try {
          const say = parseSayUnder(board, text, under);
          expect(parseSayUnder(board, printSay(board, say), under)).toStrictEqual(say);
        } catch (error) {
          if (!(error instanceof InputError)) throw error;
          for (const { place } of error.diagnostics) {
            expect(place?.endColumn).toBeGreaterThan(place?.column ?? 0);
          }
        }
      }),
      { numRuns: 1000 },
    );
  });
});

describe('while a current is on', () => {
  it.each([
    'P48 GND beep',
    'P48 GND 0.4 ohm',
    'P48 GND 12 mohm',
    'D3.A D3.K 0.52 V diode',
    'D3.A D3.K OL diode',
    'P48 GND OL',
  ])('"%s" is refused: the meter would fight the supply', (text) => {
    const told = refusal(text, ON);
    expect(told).toContain('500 mA is injected into P48, back from GND');
    expect(told).toContain('fight the supply');
    expect(told).toContain('inject off');
  });

  it.each([
    'lift W3',
    'remove Q3',
    'replace Q3',
    'reflow Q3.D',
    'clean P48 GND',
    'mend P48',
    'residual P48 GND 0.1 V',
    'isolation Q3 OL',
    'powered P48 GND 47 V',
    'draws bus 0.1 A',
    'power 1 passed',
    'power 1 stopped smoke',
    'function failed hums',
    'soak start 1 h',
    'sign-off cleared',
    'sign-off returned',
  ])('"%s" waits until the supply is off', (text) => {
    expect(refusal(text, ON)).toContain('switch the supply off');
    expect(() => canonical(text, ON, 'inject off')).not.toThrow();
  });

  it('what comes back on the board waits too', () => {
    expect(refusal('refit W3', 'lift W3', ON)).toContain('switch the supply off');
  });

  it.each([
    'off Q3: D S 0.4 ohm',
    'off Q3: G S OL',
    'look C7 burnt',
    'temp C7 45 C',
    'note clipped at the connector',
    'link P48 OUT',
    'photo warm.jpg',
  ])('"%s" may be said', (text) => {
    expect(canonical(text, 'remove Q3', ON)).toBe(text);
  });

  it('what a record holds stands all the same: it happened', () => {
    const { evidence, problems } = deriveJob(board, events(ON, 'P48 GND 0.4 ohm', 'lift W3'));
    expect(problems).toEqual([]);
    expect(evidence.readings).toMatchObject([{ mode: 'ohms' }]);
    expect(evidence.readings[0]).not.toHaveProperty('injected');
  });
});

describe('a part found warm', () => {
  it('was warmed by the current that is on, or was on last', () => {
    const { looks } = deriveJob(
      board,
      events(ON, 'look C7 warm', 'inject off', 'look Q3 warm'),
    ).evidence;
    expect(looks).toMatchObject([
      { finding: 'warm', injected: HALF_AMP },
      { finding: 'warm', injected: HALF_AMP },
    ]);
  });

  it('is refused where nothing was ever injected, and of a pin or of copper', () => {
    expect(refusal('look C7 warm')).toContain('no current was injected yet');
    expect(refusal('look C7 warm', ON, 'undo')).toContain('no current was injected yet');
    expect(refusal('look C7.1 warm', ON)).toContain('a whole part');
    expect(refusal('look P48 GND warm', ON)).toContain('said of a part');
  });
});
