import { describe, expect, test } from 'vitest';
import { loadBoard } from '../../src/board/load.ts';
import { NO_EVIDENCE } from '../../src/faults/evidence.ts';
import { analyse, openWorkbench } from '../../src/steps/advise.ts';

/** Whether the survey of a board with these parts from IN to OUT reads across them for the sake of the first. */
function isAskedFor(between: readonly string[]): boolean {
  const parts = between.map((text, k) => `  X${k + 1}: ${text.replace('}', ', pins: [IN, OUT]}')}`);
  const text = [
    'board: Lamp feed',
    'rails:',
    '  out: {plus: OUT, minus: GND}',
    'parts:',
    ...parts,
    '  C1: {kind: ceramic, farads: 1u, pins: [IN, GND]}',
    '  C2: {kind: ceramic, farads: 1u, pins: [OUT, GND]}',
  ].join('\n');
  const { board } = loadBoard(text, 'lamp-feed.yaml');
  const { readings } = analyse(openWorkbench(board), NO_EVIDENCE).survey;
  const wanted = ['IN', 'OUT'].map((name) => board.netNamed.get(name)?.index);
  return readings.some(({ probe: { red, black }, parts: spokenFor }) => {
    const isAcross = wanted.includes(red.net) && wanted.includes(black.net);
    return isAcross && spokenFor.includes(board.partNamed.get('X1')?.index ?? -1);
  });
}

describe('the survey asks whether what should sound does', () => {
  test('across a fuse by itself', () => {
    expect(isAskedFor(['{kind: fuse}'])).toBe(true);
  });

  test('across an inrush thermistor beside which a high resistor lies', () => {
    expect(isAskedFor(['{kind: thermistor, ohms: 5}', '{kind: resistor, ohms: 1M}'])).toBe(true);
  });

  test('not where a second way would sound as well', () => {
    expect(isAskedFor(['{kind: fuse}', '{kind: jumper}'])).toBe(false);
    expect(isAskedFor(['{kind: fuse}', '{kind: resistor, ohms: 10}'])).toBe(false);
  });
});
