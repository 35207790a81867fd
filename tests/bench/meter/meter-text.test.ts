import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LineSplitter, TOO_LONG } from '../../../src/bench/meter/line-splitter.ts';
import { readMeterError, readMeterText } from '../../../src/bench/meter/meter-text.ts';
import { scientific } from './instrument.ts';

describe('a line of a meter', () => {
  it.each<[string, number, 'ohms' | 'volts' | undefined]>([
    ['+1.23400000E+01', 12.34, undefined],
    ['-4.20000000E-03', -0.0042, undefined],
    ['0.412 OHM', 0.412, 'ohms'],
    ['  12.3 mOhm\r', 0.0123, 'ohms'],
    ['4.7kΩ', 4700, 'ohms'],
    ['1.2 MOHM', 1.2e6, 'ohms'],
    ['-1.234e-3 V DC', -0.001234, 'volts'],
    ['520 mV', 0.52, 'volts'],
    ['520 MV', 0.52, 'volts'],
    ['1.2E+0,OHM', 1.2, 'ohms'],
    ['RES: 33.1 OHM', 33.1, 'ohms'],
    ['DCV 0.512', 0.512, undefined],
    ['.5', 0.5, undefined],
    ['0', 0, undefined],
  ])('%j is a figure', (line, number, unit) => {
    const text = readMeterText(line);
    expect(text).toMatchObject({ kind: 'figure', ...(unit === undefined ? {} : { unit }) });
    expect(text.kind === 'figure' && text.number).toBeCloseTo(number, 12);
    expect('unit' in text).toBe(unit !== undefined);
  });

  it.each([
    '+9.90000000E+37',
    '9.9E37',
    'OL',
    'O.L',
    '0.L',
    '.OL',
    '0L',
    'OVLD',
    'OVLOAD',
    'OVERLOAD OHM',
    'OVER',
    'Overrange',
    '+OL',
    'OPEN',
    'INF',
    'OL MOhm',
    '----',
  ])('%j is an overload', (line) => {
    expect(readMeterText(line)).toEqual({ kind: 'over' });
  });

  it.each(['-9.90000000E+37', '-OL'])('%j is an overload below zero', (line) => {
    expect(readMeterText(line)).toEqual({ kind: 'under' });
  });

  it.each([
    '',
    '9.91E37',
    'NAN',
    'hello',
    '0,"No error"',
    '-113,"Undefined header"',
    'Loopback Instruments,Bench One,0001,1.0',
    '1.2.3',
    '12 m',
    '1.2 A',
    '\u001b[2J0.4',
    '1.2E+0,3.4E+1',
    TOO_LONG,
  ])('%j is noise', (line) => {
    expect(readMeterText(line)).toEqual({ kind: 'noise' });
  });

  it('gives back every figure an instrument writes', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e9, max: 1e9, noNaN: true }), (number) => {
        const text = readMeterText(scientific(number));
        if (text.kind !== 'figure') throw new Error(text.kind);
        expect(Math.abs(text.number - number)).toBeLessThanOrEqual(1e-8 * Math.abs(number));
      }),
    );
  });

  it('never throws, and gives finite figures only, whatever comes', () => {
    const soup = fc.string({
      unit: fc.constantFrom(...'0123456789+-.eE,OLoVvkKmMΩuhH "\u001b\u0000'),
    });
    fc.assert(
      fc.property(fc.oneof(soup, fc.string({ unit: 'binary' })), (line) => {
        const text = readMeterText(line);
        readMeterError(line);
        if (text.kind === 'figure') expect(Number.isFinite(text.number)).toBe(true);
      }),
    );
  });
});

describe('an answer of the error queue', () => {
  it.each([
    ['+0,"No error"', 0, 'No error'],
    ['0,No error', 0, 'No error'],
    ['-113,"Undefined header;CONF:FRES"', -113, 'Undefined header;CONF:FRES'],
    ['-230, "Data corrupt or stale"\r', -230, 'Data corrupt or stale'],
  ])('%j', (line, code, text) => {
    expect(readMeterError(line)).toEqual({ code, text });
  });

  it.each(['0', '+1.2E+0', 'OL', '0,', '9.9E37', 'No error', '1.2,"x"'])(
    '%j is none: it may be a reading that came late',
    (line) => {
      expect(readMeterError(line)).toBeUndefined();
    },
  );
});

describe('lines that arrive in pieces', () => {
  const line = fc.string({
    unit: fc.constantFrom(...'0123456789.E+ OL'),
    minLength: 1,
    maxLength: 40,
  });
  const ending = fc.constantFrom('\n', '\r\n', '\r', '\n\n');

  it('come out whole, however they were cut and whatever ends them', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(line, ending)),
        fc.array(fc.nat({ max: 12 })),
        (lines, cuts) => {
          const text = lines.map((pair) => pair.join('')).join('');
          const splitter = new LineSplitter();
          const got: string[] = [];
          let at = 0;
          for (const cut of [...cuts, text.length]) {
            got.push(...splitter.push(text.slice(at, at + cut)));
            at += cut;
          }
          expect(got).toEqual(lines.map(([words]) => words));
        },
      ),
    );
  });

  it('are bounded: an endless one comes out as no reading, and the next is whole', () => {
    const splitter = new LineSplitter();
    const got = Array.from({ length: 1000 }, () => splitter.push('1'.repeat(100))).flat();
    expect(got).toEqual([]);
    expect(splitter.push('\n0.4\n')).toEqual([TOO_LONG, '0.4']);
  });
});
