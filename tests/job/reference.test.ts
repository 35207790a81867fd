import { describe, expect, it } from 'vitest';
import { readReadings } from '../../src/bench/readings-file.ts';
import { loadBoard } from '../../src/board/load.ts';
import { compareReadings } from '../../src/job/compare.ts';
import {
  groundOf,
  isReference,
  type ReferenceProbe,
  referenceHead,
  referenceLine,
  referenceProbes,
} from '../../src/job/reference.ts';

const { board } = loadBoard(
  `board: lamp
rails: {supply: {plus: P24, minus: GND, volts: 24}}
parts:
  C1: {kind: electrolytic, farads: 470u, volts: 35, pins: {plus: P24, minus: GND}}
  Q1: {kind: n-mosfet, pins: {G: GATE, D: LAMP, S: GND}}
  R1: {kind: resistor, ohms: 4k7, pins: [GATE, GND]}
  L1: {kind: inductor, pins: [GND, SENSE]}
  J1: {kind: connector, pins: {1: P24, 2: GND, 3: LAMP, 4: SENSE, 5: NC_J1_5}}
`,
  'lamp.yaml',
);
const ground = board.netNamed.get('GND')!.index;

function read(...lines: string[]) {
  return readReadings(lines.join('\n'), 'good.readings', board).readings;
}

const text = ({ red, black, mode }: ReferenceProbe): string => `${red} ${black} ${mode}`;

describe('the table of a good board', () => {
  it('reads every net against ground in ohms and both ways in diode test, rails first, none twice', () => {
    expect(groundOf(board)).toBe(ground);
    const all = referenceProbes(board, ground, []).map(text);
    expect(all.slice(0, 3)).toEqual(['P24 GND ohms', 'P24 GND diode', 'GND P24 diode']);
    expect(all).toHaveLength(12);
    expect(all.join()).not.toMatch(/NC_/);
    const taken = read('P24 GND 5.1 kohm', 'GND P24 0.48 V');
    expect(referenceProbes(board, ground, taken).map(text).slice(0, 2)).toEqual([
      'P24 GND diode',
      'GATE GND ohms',
    ]);
  });

  it('asks for no diode test where ohms show hardly any resistance', () => {
    const left = referenceProbes(board, ground, read('SENSE GND 0.4 ohm'));
    expect(left.map(text).join()).not.toMatch(/SENSE/);
  });

  it.each([
    ['ohms', '4.7k', 'P24 GND 4.7 kohm'],
    ['ohms', '470', 'P24 GND 470 ohm'],
    ['ohms', 'ol', 'P24 GND OL'],
    ['diode', '0,52', 'P24 GND 0.52 V'],
    ['diode', 'OL', 'P24 GND OL diode'],
    ['ohms', 'GATE GND 4.7 kohm', 'GATE GND 4.7 kohm'],
  ] as const)('takes a bare answer in %s, %s, as %s', (mode, answer, line) => {
    expect(referenceLine({ red: 'P24', black: 'GND', mode }, answer)).toBe(line);
  });

  it('tells its file by the first line', () => {
    expect(isReference(referenceHead(board, 'GND', 'handheld', '2026-01-01'))).toBe(true);
    expect(isReference('P24 GND beep\n')).toBe(false);
  });
});

describe('a bad board against a good one', () => {
  const good = read('P24 GND 5.1 kohm', 'GND P24 0.48 V', 'SENSE GND 0.4 ohm', 'GATE GND 4.7 kohm');
  const differs = (...lines: string[]) => compareReadings(good, read(...lines), { isOfGood: true });

  it('differs by what is newly short and by what reads otherwise, not by what was not read', () => {
    expect(differs('P24 GND 5.2 kohm', 'SENSE GND 0.5 ohm').differs).toBe(false);
    expect(differs('P24 GND 0.2 ohm')).toMatchObject({ differs: true, worst: 'newly short' });
    expect(differs('GND P24 0.31 V').differs).toBe(true);
    expect(differs('GATE GND OL').differs).toBe(true);
  });

  it('takes nothing for a short that conducts on the good board too, and misses it when it does not', () => {
    const same = differs('SENSE GND beep');
    expect(same.pairs.find(({ red }) => red === 'SENSE')?.change).toBe('unchanged');
    expect(differs('SENSE GND OL').pairs.find(({ red }) => red === 'SENSE')?.change).toBe(
      'changed',
    );
  });
});
